package segment
import ("testing";"fmt";"context";"image/jpeg";"os";"gapshade/colormath/imgdiff")
func TestZY(t *testing.T){
 f,_:=os.Open(os.Getenv("ZY")); img,_:=jpeg.Decode(f); pic:=imgdiff.FromImage(img)
 x,y:=float64(pic.W-1),float64(pic.H-1)
 q:=&Quad{{0,0},{x,0},{x,y},{0,y}}
 fd,_:=NewFinder(); opt:=Options{Panel:q}
 win:=opt.window(pic)
 best,_:=fd.firstLook(context.Background(),pic,win,opt)
 fmt.Printf("first %.3f gap %.1f tiles %d score %.3f patterned %.2f %+v\n",best.scale,best.lay.gap,best.lay.tiles,best.lay.score,best.patterned(),best.lay.terms)
 for _,p:=range []bool{false,true}{for _,sc:=range []float64{.78,1.2,1.6}{ e2:=fd.look(pic,win,sc,nil,p,opt); fmt.Printf("  closer %v %.3f gap %.1f tiles %d score %.3f %+v\n",p,sc,e2.lay.gap,e2.lay.tiles,e2.lay.score,e2.lay.terms)}}
}
