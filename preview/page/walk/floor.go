//go:build ignore

// Prints F, the least that files alone cost for a photo on one processor, in
// milliseconds: decode, one conversion to RGBA, six encodes at quality 90, all by
// the standard library; the fastest of three. With -enlarge it first writes the photo
// 4000 px wide.
//
//	go run floor.go [-enlarge OUT] PHOTO
package main

import (
	"bytes"
	"flag"
	"fmt"
	"image"
	"image/draw"
	"image/jpeg"
	"io"
	"log"
	"os"
	"runtime"
	"time"

	xdraw "golang.org/x/image/draw"
)

func main() {
	enlarge := flag.String("enlarge", "", "write the photo 4000 px wide to this `file`")
	flag.Parse()
	data, err := os.ReadFile(flag.Arg(0))
	check(err)
	if *enlarge != "" {
		data = larger(data)
		check(os.WriteFile(*enlarge, data, 0o644))
	}
	runtime.GOMAXPROCS(1)
	least := time.Hour
	for range 3 {
		began := time.Now()
		floor(data)
		least = min(least, time.Since(began))
	}
	fmt.Println(least.Milliseconds())
}

func check(err error) {
	if err != nil {
		log.Fatal(err)
	}
}

// larger is the photo at 12 megapixels.
func larger(data []byte) []byte {
	src, err := jpeg.Decode(bytes.NewReader(data))
	check(err)
	b := src.Bounds()
	img := image.NewRGBA(image.Rect(0, 0, 4000, 4000*b.Dy()/b.Dx()))
	xdraw.CatmullRom.Scale(img, img.Rect, src, b, draw.Src, nil)
	var out bytes.Buffer
	check(jpeg.Encode(&out, img, &jpeg.Options{Quality: 90}))
	return out.Bytes()
}

func floor(data []byte) {
	src, err := jpeg.Decode(bytes.NewReader(data))
	check(err)
	img := image.NewRGBA(src.Bounds())
	draw.Draw(img, img.Rect, src, src.Bounds().Min, draw.Src)
	for range 6 {
		check(jpeg.Encode(io.Discard, img, &jpeg.Options{Quality: 90}))
	}
}
