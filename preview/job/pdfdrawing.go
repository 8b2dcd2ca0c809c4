package job

// drawing is the timeline of job.html in ink: same layout, scaled.
func (p *pen) drawing(d *drawing) {
	k := p.width / drawingW
	p.room(k * d.H)
	x := func(v float64) float64 { return p.left + k*v }
	y := func(v float64) float64 { return p.y + k*v }
	p.f.SetLineWidth(0.2)
	p.f.SetDrawColor(190, 190, 190)
	for _, t := range d.Ticks {
		p.f.Line(x(t.X), y(d.Axis), x(t.X), y(d.Floor))
		p.label(t.Text, x(t.X), y(d.Axis-8), 'c')
	}
	for _, b := range d.Bars {
		p.fill(b.Wait)
		p.f.Rect(x(b.X), y(b.Y), k*b.W, k*b.H, "F")
		p.label(b.Name, x(b.NameX), y(b.TextY), 'r')
		p.label(b.Time, x(b.TimeX), y(b.TextY), 'l')
	}
	p.f.SetDrawColor(0, 0, 0)
	if d.Next != nil {
		p.dashed(x(d.Next.X), y(d.Axis), y(d.Floor), 1, 0.8)
		p.label(d.Next.Text, x(d.Next.X-5), y(d.Floor-8), 'r')
	}
	p.dashed(x(d.EndX), y(d.Axis), y(d.Floor), 0.2, 1)
	p.label("days later", x(d.EndX+14), y(d.Axis-8), 'l')
	for i, m := range d.Later {
		p.label(m.Text, x(m.X), y(d.LaterY(i)), 'l')
	}
	p.y += k*d.H + 1
}

// fill is the grey of a bar: dark for work, pale for waiting, apart on any printer.
func (p *pen) fill(wait bool) {
	if wait {
		p.f.SetFillColor(205, 205, 205)
	} else {
		p.f.SetFillColor(55, 55, 55)
	}
}

// dashed draws an upright line of dashes, on and off in mm.
func (p *pen) dashed(x, y0, y1, on, off float64) {
	p.f.SetLineWidth(0.3)
	p.f.SetDashPattern([]float64{on, off}, 0)
	p.f.Line(x, y0, x, y1)
	p.f.SetDashPattern(nil, 0)
}

// label sets one line: 'l' from x, 'r' up to x, 'c' around x; y is the baseline.
func (p *pen) label(text string, x, y float64, side byte) {
	p.use(run{size: bodyPt - 1})
	text = p.printable(text)
	switch w := p.f.GetStringWidth(text); side {
	case 'r':
		x -= w
	case 'c':
		x -= w / 2
	}
	p.f.Text(x, y, text)
}
