package page

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"gapshade/colormath"
	"gapshade/preview"
	"gapshade/preview/grout"
	"gapshade/preview/photo"
	"gapshade/preview/sheet"
)

// Colours of what is laid over the photo: gaps in the red that marks them, outlines
// in a light and doubt in an orange that few tiles have (ours).
var (
	gapColour     = color.NRGBA{0xff, 0x20, 0x40, 0xff}
	outlineColour = color.NRGBA{0x30, 0xd0, 0xff, 0xe0}
	doubtColour   = color.NRGBA{0xff, 0xa0, 0x00, 0xff}
)

// leastWide is the narrowest picture that is drawn, px.
const leastWide = 64

// view is a picture as it was asked for.
type view struct {
	name     string
	wide     int // 0 = as wide as the working picture
	distance float64
	vision   colormath.Vision
	state    grout.State // "" = as the settings say
}

// viewOf reads the name and the query of a picture.
func viewOf(name string, q url.Values) (v view, err error) {
	v = view{name: name, vision: colormath.Vision(cmp.Or(q.Get("vision"), string(colormath.Normal)))}
	if !v.vision.Knows() {
		return v, misread(fmt.Sprintf("%q is not a vision", v.vision), "use normal, protan, deutan or tritan")
	}
	if w := q.Get("wide"); w != "" {
		if v.wide, err = strconv.Atoi(w); err != nil || v.wide < leastWide {
			return v, misread(fmt.Sprintf("a picture %q px wide can't be drawn", w), "use 64 or more")
		}
	}
	if d := q.Get("distance"); d != "" {
		m, err := preview.ParseDistances(strings.TrimSuffix(d, "m") + "m")
		if err != nil || len(m) != 1 || m[0] < .1 || m[0] > 100 {
			return v, misread(fmt.Sprintf("--distance %q is not a distance to look from", d), "use 0.1m to 100m")
		}
		v.distance = m[0]
	}
	v.state = grout.State(q.Get("state"))
	if _, ok := v.state.Film(); !ok {
		return v, misread(fmt.Sprintf("--state %q is not a state", v.state), "use cured, damp or enhanced")
	}
	return v, nil
}

// getPicture answers with a picture of the panel as it stands.
func getPicture(w http.ResponseWriter, r *http.Request, p *panel) error {
	v, err := viewOf(r.PathValue("name"), r.URL.Query())
	if err != nil {
		return err
	}
	p.wake()
	if v.name == "photo" {
		if err := p.bring(r.Context()); err != nil {
			return err
		}
	}
	var b []byte
	var tag string
	if err := p.s.light.do(r.Context(), func() (err error) { b, tag, err = p.picture(v); return err }); err != nil {
		return err
	}
	w.Header().Set("ETag", tag)
	if r.Header.Get("If-None-Match") == tag {
		w.WriteHeader(http.StatusNotModified)
		return nil
	}
	w.Header().Set("Content-Type", http.DetectContentType(b)) // PNG
	w.Write(b)
	return nil
}

// bring reads the photo of a panel that had to rest after its search had failed: no
// search will do it.
func (p *panel) bring(ctx context.Context) error {
	p.mu.Lock()
	k, there := p.kept, p.small != nil || p.fault == nil
	p.mu.Unlock()
	if there {
		return nil
	}
	_, _, err := p.workingPhotos(ctx, &k)
	return err
}

// draw draws it. bench is held for reading.
func (p *panel) draw(v view, small *photo.Photo) ([]byte, error) {
	if v.name == "photo" && p.proof == nil && small != nil {
		return v.encoded(small.RGBA(), 0)
	}
	if p.proof == nil {
		r := refuse(http.StatusConflict, "there is no such picture yet", "wait until the gaps are found")
		return nil, r
	}
	switch v.name {
	case "photo":
		return v.encoded(p.proof.Base(), p.proof.Frame.MmPerPx)
	case "gaps":
		return encode(sheet.LayGaps(p.proof, gapColour, v.reduced(p.proof.Map.W)))
	case "outlines":
		return encode(sheet.LayOutlines(p.proof, outlineColour))
	case "sure":
		return encode(sheet.LaySure(p.proof, doubtColour))
	}
	kind, id, _ := strings.Cut(v.name, "-")
	i := slices.IndexFunc(p.proof.Trials, func(t preview.Trial) bool { return t.Shade.ID == id })
	switch {
	case i >= 0 && kind == "shade":
		return v.encoded(p.proof.DrawAs(i, cmp.Or(v.state, p.proof.Settings.Joint.State)), p.proof.Frame.MmPerPx)
	case i >= 0 && kind == "merged":
		return encode(sheet.LayMerged(p.proof, i))
	}
	return nil, refuse(http.StatusNotFound, "there is no such picture", "ask for one of the shades that are tried")
}

// encode writes a picture for the page: PNG without compression. It never leaves this
// computer, so its size hardly matters, and it is there in a fraction of the time; a
// JPEG would also tint narrow joints by the tiles' colour (its colour has half the
// resolution) and make tiles flicker from shade to shade, which no grout does.
func encode(img image.Image) ([]byte, error) {
	var b bytes.Buffer
	err := (&png.Encoder{CompressionLevel: png.NoCompression}).Encode(&b, img)
	return b.Bytes(), err
}

// reduced is the width that a picture is reduced to, 0 for none: a little less is not
// worth the time.
func (v *view) reduced(full int) int {
	if v.wide > 0 && v.wide <= full*3/4 {
		return v.wide
	}
	return 0
}

// encoded reduces a picture, looks at it from afar and through other eyes, and encodes
// it. It may be a shared one and is not painted on.
func (v *view) encoded(img *image.RGBA, mmPerPx float64) ([]byte, error) {
	if v.distance > 0 && mmPerPx == 0 {
		return nil, misread("--distance needs to know how large the panel is", "add its size")
	}
	if w := v.reduced(img.Rect.Dx()); w > 0 {
		img, mmPerPx = sheet.Thumb(img, img.Rect, w, 0), mmPerPx*float64(img.Rect.Dx())/float64(w)
	}
	if v.distance > 0 || v.vision != colormath.Normal {
		pic := linear(img)
		if v.distance > 0 {
			pic = colormath.Seen(pic, colormath.SamplesPerDegree(v.distance, mmPerPx), 0)
		}
		through(pic, v.vision)
		img = photo.Encode(pic, 0)
	}
	return encode(img)
}

// linear gives a picture in linear light.
func linear(img *image.RGBA) *colormath.Picture {
	pic := colormath.NewPicture(img.Rect.Dx(), img.Rect.Dy())
	for y := range pic.H {
		for x := range pic.W {
			from, to := img.Pix[y*img.Stride+4*x:], pic.Pix[3*(y*pic.W+x):]
			to[0], to[1], to[2] = colormath.Decode8(from[0]), colormath.Decode8(from[1]), colormath.Decode8(from[2])
		}
	}
	return pic
}

// through looks at a picture with other eyes.
func through(pic *colormath.Picture, v colormath.Vision) {
	if v == colormath.Normal {
		return
	}
	colormath.Rows(pic.H, 0, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			for x := range pic.W {
				pic.Set(x, y, v.See(pic.At(x, y)))
			}
		}
	})
}
