package segment
import ("testing";"fmt";"context";"image/jpeg";"os";"gapshade/colormath/imgdiff";"encoding/json")
func TestZZ(t *testing.T){
 d:=os.Getenv("ZZ"); f,_:=os.Open(d+"/photo_"+os.Getenv("BED")+".jpg"); img,_:=jpeg.Decode(f); pic:=imgdiff.FromImage(img)
 b,_:=os.ReadFile(d+"/scene.json"); var s struct{Corners struct{Panel [4][2]float64} `json:"corners_px"`}; json.Unmarshal(b,&s)
 q:=&Quad{}; for i,c:=range s.Corners.Panel{q[i]=Point{c[0],c[1]}}
 fd,_:=NewFinder(); opt:=Options{Panel:q}
 win:=opt.window(pic)
 best,_:=fd.firstLook(context.Background(),pic,win,opt)
 fmt.Printf("first %.3f gap %.1f tiles %d score %.3f patterned %.2f bed %v %+v\n",best.scale,best.lay.gap,best.lay.tiles,best.lay.score,best.patterned(),best.bed,best.lay.terms)
 for _,sc:=range []float64{.7,.8,.9,1,1.15,1.3,1.6}{ e2:=fd.look(pic,win,sc,nil,os.Getenv("PT")!="",opt); fmt.Printf("  closer %.3f gap %.1f tiles %d score %.3f %+v\n",sc,e2.lay.gap,e2.lay.tiles,e2.lay.score,e2.lay.terms)}
}
