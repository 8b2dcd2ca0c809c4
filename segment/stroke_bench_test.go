package segment

import (
	"context"
	"fmt"
	"testing"
)

// BenchmarkStroke is one stroke, and taking it off again, on a drawn layout of 12
// and of 2 megapixels; "whole" is what coverage, tiles and borders of the whole
// picture cost, which a stroke saves. The network is left out: it looks once.
//
//	go test ./segment -run '^$' -bench Stroke -benchtime 20x -cpu 2
func BenchmarkStroke(b *testing.B) {
	for _, size := range []struct {
		name string
		g    grid
	}{
		{"12MP", grid{w: 4000, h: 3000, x: 61.3, y: 44.6, cols: 46, rows: 34, tile: 70, gap: 14}},
		{"2MP", grid{w: 1633, h: 1225, x: 25, y: 18.2, cols: 46, rows: 34, tile: 28.6, gap: 5.7}},
	} {
		g := size.g
		a, err := (&Finder{net: drawnNet{}}).Analyse(context.Background(), g.picture(), Options{Panel: g.panel(7)})
		if err != nil {
			b.Fatal(err)
		}
		pitch := g.tile + g.gap
		x, y := g.x+20*pitch+g.tile/2, g.y+15*pitch+g.tile/2
		for name, s := range map[string]Stroke{
			"red through one tile":  line(ShowsGap, g.gap/3, x, y-.6*g.tile, x, y+.6*g.tile),
			"blue over one joint":   line(ShowsTile, g.gap/2, x+pitch/2, y-g.tile/2, x+pitch/2, y+g.tile/2),
			"red through ten tiles": line(ShowsGap, g.gap/3, x, y, x+10*pitch, y+2*pitch),
		} {
			b.Run(fmt.Sprint(size.name, "/", name), func(b *testing.B) {
				for b.Loop() {
					if _, err := a.Stroke(s); err != nil {
						b.Fatal(err)
					}
					b.StopTimer()
					a.Undo()
					b.StartTimer()
				}
			})
		}
		b.Run(size.name+"/undo", func(b *testing.B) {
			for b.Loop() {
				b.StopTimer()
				if _, err := a.Stroke(line(ShowsGap, g.gap/3, x, y-g.tile, x, y+g.tile)); err != nil {
					b.Fatal(err)
				}
				b.StartTimer()
				a.Undo()
			}
		})
		b.Run(size.name+"/whole", func(b *testing.B) {
			for b.Loop() {
				a.pieces()
				a.border(a.all())
			}
		})
	}
}
