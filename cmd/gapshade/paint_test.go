package main

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/jpeg"
	"image/png"
	"os"
	"path/filepath"

	"github.com/rogpeppe/go-internal/testscript"
)

// paint FILE WIDTHxHEIGHT [COLOUR LEFT,TOP,RIGHT,BOTTOM]… writes an empty picture
// with boxes painted on it, as PNG or JPEG by its name.
func paint(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 || len(args)%2 != 0 {
		ts.Fatalf("usage: paint file WxH [colour x0,y0,x1,y1]...")
	}
	var w, h int
	if _, err := fmt.Sscanf(args[1], "%dx%d", &w, &h); err != nil {
		ts.Fatalf("%s: %v", args[1], err)
	}
	img := image.NewNRGBA(image.Rect(0, 0, w, h))
	for i := 2; i < len(args); i += 2 {
		c, ok := map[string]color.Color{"red": color.NRGBA{255, 0, 0, 255}, "blue": color.NRGBA{0, 0, 255, 255}, "green": color.NRGBA{0, 255, 0, 255}, "yellow": color.NRGBA{230, 230, 0, 255}}[args[i]]
		var r image.Rectangle
		if _, err := fmt.Sscanf(args[i+1], "%d,%d,%d,%d", &r.Min.X, &r.Min.Y, &r.Max.X, &r.Max.Y); err != nil || !ok {
			ts.Fatalf("%s %s: %v", args[i], args[i+1], err)
		}
		draw.Draw(img, r, image.NewUniform(c), image.Point{}, draw.Src)
	}
	var b bytes.Buffer
	if filepath.Ext(args[0]) == ".jpg" {
		ts.Check(jpeg.Encode(&b, img, nil))
	} else {
		ts.Check(png.Encode(&b, img))
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), b.Bytes(), 0o644))
}
