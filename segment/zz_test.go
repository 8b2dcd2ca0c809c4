package segment
import ("testing";"fmt";"image/jpeg";"os";"gapshade/colormath/imgdiff";"encoding/json")
func TestZZ(t *testing.T){
 d:=os.Getenv("ZZ"); f,_:=os.Open(d+"/photo_"+os.Getenv("BED")+".jpg"); img,_:=jpeg.Decode(f); pic:=imgdiff.FromImage(img)
 b,_:=os.ReadFile(d+"/scene.json"); var s struct{Corners struct{Panel [4][2]float64} `json:"corners_px"`}; json.Unmarshal(b,&s)
 q:=&Quad{}; for i,c:=range s.Corners.Panel{q[i]=Point{c[0],c[1]}}
 fd,_:=NewFinder(); opt:=Options{Panel:q}
 win:=opt.window(pic)
 for _,sc:=range coarseScales(win,opt){ ev:=fd.look(pic,win,sc,nil,opt); fmt.Printf("coarse %.3f gap %.1f tiles %d score %.3f terms %+v\n",sc,ev.lay.gap,ev.lay.tiles,ev.lay.score,ev.lay.terms)
  bed:=ev.bedOf(nil); fmt.Println("bed",bed!=nil); if bed!=nil {fmt.Println(bed.at(ev.w/2,ev.h/2)); c:=bounded(ev.scale*wantGap/max(ev.lay.gap,1),win); e2:=fd.look(pic,win,c,bed,opt); fmt.Printf("  closer %.3f gap %.1f tiles %d score %.3f terms %+v\n",c,e2.lay.gap,e2.lay.tiles,e2.lay.score,e2.lay.terms)}}
}
