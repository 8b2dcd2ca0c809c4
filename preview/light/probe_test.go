package light
import ("testing";"math";"fmt";"gapshade/colormath")
func TestProbe(t *testing.T){
 shapes:=map[string][5]float64{"gentle":{.15,-.1,-.08,.04,-.06},"medium":{.35,-.2,-.12,.05,-.1},"4to1":{.55,.14,-.05,0,0.02}}
 beds:=map[string]colormath.LinearRGB{"white":colormath.Lab{L:93}.LinearRGB(),"grey":colormath.Lab{L:49.5}.LinearRGB(),"black":colormath.Lab{L:14}.LinearRGB()}
 table:=colormath.LinearRGB{R:.25,G:.12,B:.06}
 for sn,s:=range shapes { for bn,b:=range beds { for _,v:=range []string{"open","table","tableshadow","openshadow"} {
  l:=func(u,w float64) colormath.LinearRGB { e:=math.Exp(-.4+s[0]*u+s[1]*w+s[2]*u*u+s[3]*u*w+s[4]*w*w); return colormath.LinearRGB{R:1.1*e,G:e,B:.8*e}}
  d:=drawn{light:l,bed:b,tile:colormath.Lab{L:55,A:10,B:-20}.LinearRGB()}
  if v[0]==116 {d.table=&table}
  if len(v)>5 {d.shadow=func(a float64)float64{ if a<0 {return .4}; return 1}}
  pic,m:=d.draw()
  r:=Measure(pic,m,&b)
  worst:=[3]float64{}; sum:=0.0;n:=0.0
  for y:=drawnY0;y<drawnY0+drawnPanH;y+=9{ for x:=drawnX0;x<drawnX0+drawnPanelW;x+=9 { g:=r.Field.At(float64(x),float64(y)); e:=l(place(float64(x),float64(y)));
   for c,q:=range [3]float64{g.R/e.R-1,g.G/e.G-1,g.B/e.B-1} { if math.Abs(q)>math.Abs(worst[c]){worst[c]=q}; sum+=math.Abs(q);n++}}}
  fmt.Printf("%-7s %-6s %-12s worst %+.3f %+.3f %+.3f mean %.4f known %v cast %.3f n %d\n",sn,bn,v,worst[0],worst[1],worst[2],sum/n,r.Known,r.Cast,r.Samples)
 }}}
}
