"""What is painted, printed or grown on the faces: stripes, dots, figures, rims, veins, cells, chips, bands, marks.

About two pictures in five get one of these, strongly. Each kind is drawn for its own share of the batch only (a random choice of
pictures, of fixed number, so that shapes stay fixed): drawing all kinds for all pictures and choosing afterwards costs ten times as
much. Patterns never touch the label: a stripe as wide, straight and dark as a joint is still tile.

A kind takes p (maps of its pictures: x, y, the tile's own lx, ly, distance from the edge, per-tile numbers t, shift) and returns albedo.
"""
import math

import torch
import torch.nn.functional as F

from colours import lab_rgb
from noise import Rand, constant, look

MIX = lambda base, colour, share: base + (colour - base) * share[..., None]


def ink(p, r, k):
    """One of two colours per tile: dark, light, strong, any, or exactly the bed's. k: which per-tile number decides."""
    def one():
        kind = r.pick(.36, .2, .26, .18)
        L = torch.where(kind == 0, r.u(3, 30), torch.where(kind == 1, r.u(72, 95), r.u(15, 85)))
        chroma = torch.where(kind == 2, r.u(15, 60), r.u(0, 14))
        hue = r.u(0, 2 * math.pi)
        c = lab_rgb(L, chroma * hue.cos(), chroma * hue.sin())
        return torch.where((kind == 3)[..., None] & (r.chance(.7)[..., None] > 0), p['bed'], c)
    a = one()
    b = torch.where(r.chance(.4)[..., None] > 0, one(), a)
    return torch.where(p['t'][..., k:k + 1] < .5, a, b)


def stroke(p, r, sd, has=None):
    """cover of a figure from its signed distance in pixels: crisp or soft, dense or pale, on all tiles or some"""
    soft = torch.where(r.chance(.65) > 0, r.u(.25, .6), r.log(.6, 4.))
    cover = r.u(.55, 1.) * torch.sigmoid((sd + p['ragged']) / soft)
    return cover if has is None else cover * has


def china(p, r, chance=.5):
    """glazed white or pale ground instead of the tile's colour"""
    c = lab_rgb(r.u(74, 95), r.n(3), r.n(6))
    return MIX(p['alb'], c, r.chance(chance) * r.u(.8, 1.))


def turn(p, r, k, loose=.4):
    """a direction: along the sides or not, the same for all tiles, in quarter turns, or each its own"""
    base = torch.where(r.chance(.6) > 0, r.chance(.5) * math.pi / 2 + r.n(.02), r.u(0, math.pi))
    kind, t = r.pick(1 - loose, loose * .5, loose * .5), p['t'][..., k]
    own = torch.where(kind == 1, torch.floor(t * 2) * math.pi / 2, torch.where(kind == 2, t * 2 * math.pi, 0 * t))
    th = base + own
    c, s = th.cos(), th.sin()
    loc = r.chance(.6) > 0                                   # from the tile's middle, or one pattern over all
    x, y = torch.where(loc, p['lx'], p['x']), torch.where(loc, p['ly'], p['y'])
    return c * x + s * y, c * y - s * x


def between(p, r, lo, hi):
    """a length between lo gaps and hi half tiles"""
    a, b = torch.log(p['gap'] * lo), torch.log(torch.maximum(p['reach'] * hi, p['gap'] * lo * 1.5))
    return torch.exp(a + (b - a) * r.u())


def wrapped(v, period):
    """distance from the nearest middle of a period, signed"""
    return torch.remainder(v, period) - period / 2


def stripes(bank, p, r):
    """Stripes right to the edges, one to three colours, even or not, straight or waved."""
    t = p['t']
    v, u = turn(p, r, 0)
    v = v + r.chance(.25) * r.u(.1, .6) * p['gap'] * torch.sin(u * 2 * math.pi / between(p, r, 3., 2.))
    period = between(p, r, 1., 1.1) * torch.exp(r.chance(.6) * (t[..., 1] - .5) * 1.4)
    period = period.clamp(min=3.)
    v = v + r.chance(.7) * t[..., 2] * period
    duty = r.u(.12, .8)
    alb = china(p, r)
    has = (t[..., 3] < torch.where(r.chance(.6) > 0, r.u(1, 1.1), r.u(.3, .9))).float()
    width = torch.where(r.chance(.4) > 0, torch.minimum(p['gap'] * r.u(.5, 1.5), period * .7), period * duty) / 2
    alb = MIX(alb, ink(p, r, 4), stroke(p, r, width - wrapped(v, period).abs(), has))
    second = r.chance(.5) * has
    alb = MIX(alb, ink(p, r, 5), stroke(p, r, period * r.u(.04, .3) - wrapped(v + period * r.u(.3, .7), period).abs(), second))
    across = r.chance(.15) * has
    return MIX(alb, ink(p, r, 6), stroke(p, r, width * r.u(.4, 1.2) - wrapped(u, period * r.u(.8, 3.)).abs(), across))


def dots(bank, p, r):
    """Dots, rings, scales, leaves and checks in rows over the tile."""
    t = p['t']
    v, u = turn(p, r, 0)
    period = (between(p, r, 1.3, 1.2) * torch.exp(r.chance(.4) * (t[..., 1] - .5))).clamp(min=5.)
    v, u = v + period * t[..., 2], u + period * t[..., 3]
    row = torch.floor(v / period)
    u = u + torch.remainder(row, 2) * period / 2 * r.chance(.7)
    dv, du = wrapped(v, period), wrapped(u, period)
    wild = torch.remainder(torch.sin(row * 12.9898 + torch.floor(u / period) * 78.233) * 43.758, 1.)  # a number per dot
    q = torch.sqrt(du * du + dv * dv)
    rad = period * (r.u(.15, .62) - r.chance(.5) * .3 * wild)
    a = wild * 6.3 * r.chance(.7)
    lu, lv = a.cos() * du + a.sin() * dv, a.cos() * dv - a.sin() * du
    half = rad * r.u(.25, .7)
    R = (rad * rad + half * half) / (2 * half)
    leaf = R - torch.sqrt(lu * lu + (lv.abs() + R - half) ** 2)
    scale = rad * .25 - (torch.sqrt(du * du + (dv + period / 2) ** 2) - period * .55).abs()
    flower = rad * (.65 + .35 * torch.cos(torch.atan2(lv, lu) * (3 + torch.floor(5 * r.u())))) - q
    check = torch.sin(u * math.pi / period) * torch.sin(v * math.pi / period) * period / 3
    kind = r.pick(.3, .14, .2, .12, .12, .12)
    sd = rad - q
    for k, f in ((1, rad * .22 - (q - rad * .8).abs()), (2, leaf), (3, scale), (4, flower), (5, check)):
        sd = torch.where(kind == k, f, sd)
    has = (t[..., 4] < r.u(.5, 1.4)).float()
    alb = MIX(china(p, r), ink(p, r, 5), stroke(p, r, sd, has))
    heart = r.chance(.4) * (kind != 5) * has                  # a second colour inside
    return MIX(alb, ink(p, r, 6), stroke(p, r, sd - rad * r.u(.3, .6), heart))


def blobs(bank, p, r):
    """A few round blobs that run together, cut by the tile's outline; often a bare face with only one."""
    t, s = p['t'], p['reach']
    many = r.chance(.6)
    best = torch.full_like(p['lx'], -1e4)
    for k in range(3):
        at = lambda j: (torch.remainder(t[..., j] * 7.31 + .37 * k, 1.) - .5) * 2.4 * s
        rad = s * r.u(.15, .8) * (.5 + t[..., (k + 2) % 6])
        sd = rad - torch.sqrt((p['lx'] - at(k)) ** 2 + (p['ly'] - at(k + 3)) ** 2)
        best = torch.where((k == 0) | (many > 0), torch.maximum(best, sd), best)
    best = best + r.chance(.5) * r.u(.05, .3) * s * bank.at('cloud', p['x'], p['y'], r.log(.15, .6), t[..., 6])
    alb = MIX(china(p, r, .7), ink(p, r, 0), stroke(p, r, best))
    line = r.chance(.5)
    alb = MIX(alb, ink(p, r, 1), stroke(p, r, p['gap'] * r.u(.1, .5) - best.abs(), line))
    return MIX(alb, ink(p, r, 2), stroke(p, r, best - s * r.u(.1, .4), r.chance(.3)))


def rims(bank, p, r):
    """Painted lines that follow the tile's edge, a field inside them, rings and crosses round the middle."""
    t, gap, d = p['t'], p['gap'], p['dist']
    alb = china(p, r)
    off = torch.minimum(gap * r.log(.25, 3.), p['reach'] * .6) * (1 + r.chance(.3) * .5 * (t[..., 0] - .5))
    has = (t[..., 1] < r.u(.5, 1.5)).float()
    w = torch.minimum(gap * r.log(.15, 1.3), off * .9) / 2
    alb = MIX(alb, ink(p, r, 2), stroke(p, r, d - off, r.chance(.3) * has))                # the field
    alb = MIX(alb, ink(p, r, 3), stroke(p, r, w - (d - off).abs(), r.chance(.85) * has))   # one line
    step = w * 2 + gap * r.u(.3, 1.5)
    alb = MIX(alb, ink(p, r, 4), stroke(p, r, w * r.u(.4, 1.2) - (d - off - step).abs(), r.chance(.45) * has))
    q = torch.sqrt(p['lx'] ** 2 + p['ly'] ** 2)
    ring = torch.minimum(gap * r.log(.2, 1.5), p['reach'] * .2) / 2 - (q - p['reach'] * r.u(.2, .8)).abs()
    cross = gap * r.log(.15, 1.) / 2 - torch.minimum(p['lx'].abs(), p['ly'].abs())
    many = gap * .3 - wrapped(q, gap * r.u(1., 4.)).abs()
    kind = r.pick(.4, .35, .25)
    figure = torch.where(kind == 0, ring, torch.where(kind == 1, cross, many))
    return MIX(alb, ink(p, r, 5), stroke(p, r, figure, r.chance(.4) * has))


def encaustic(bank, p, r):
    """Cement-tile figures that go on over the joints: corner circles, stars, diamonds, checks, crossing bands; two or three colours."""
    loc = r.chance(.7) > 0
    s = torch.where(loc, p['reach'], between(p, r, 2.5, 2.5)).clamp(min=6.)
    x = torch.where(loc, p['lx'], wrapped(p['x'], 2 * s))
    y = torch.where(loc, p['ly'], wrapped(p['y'], 2 * s))
    ax, ay = x.abs(), y.abs()
    corner, middle = torch.sqrt((s - ax) ** 2 + (s - ay) ** 2), torch.sqrt(x * x + y * y)

    def figure():
        k, a, w = r.pick(.22, .14, .16, .14, .12, .12, .1), r.u(.3, 1.), r.u(.06, .3)
        out = a * s - corner
        for n, f in ((1, a * s - middle), (2, (a * s - ax - ay) * .7), (3, (x * y).abs().sqrt() * torch.sign(x * y)),
                     (4, (w * s - (ax - ay).abs()) * .7), (5, w * s - torch.minimum((ax - a * s).abs(), (ay - a * s).abs())),
                     (6, (a * s * .8 - torch.maximum(ax + .4 * ay, ay + .4 * ax)))):
            out = torch.where(k == n, f, out)
        return torch.where(r.chance(.3) > 0, w * s * .5 - out.abs(), out)
    one, two, three = figure(), figure(), figure()
    both = torch.where(r.chance(.6) > 0, torch.sign(one) * torch.sign(two) * torch.minimum(one.abs(), two.abs()), one)
    alb = MIX(china(p, r, .4), ink(p, r, 0), stroke(p, r, both))
    alb = MIX(alb, ink(p, r, 1), stroke(p, r, three, r.chance(.5)))
    return MIX(alb, ink(p, r, 2), stroke(p, r, p['gap'] * r.u(.1, .5) - both.abs(), r.chance(.3)))


def veins(bank, p, r):
    """Marble: thin veins that wander over the whole tile roughly one way, with branches, soft bands and smudges."""
    t, gap = p['t'], p['gap']
    v, u = turn(p, r, 0, .6)
    apart = p['shift']
    period = between(p, r, 2.5, 1.3).clamp(min=9.) * torch.exp(r.chance(.7) * (t[..., 1] - .5) * 1.2)
    zoom = r.log(.15, 1.2)
    slow = bank.at('cloud', p['x'], p['y'], zoom, apart)
    fast = bank.at('pink', p['x'], p['y'], r.log(.3, 1.2), apart)
    bend = 30 * zoom * torch.where(r.chance(.75) > 0, r.u(.05, .5), r.u(.5, 1.2))   # times the noise's slope: how far a vein strays
    k = 2 * math.pi / (period * r.u(1.5, 5.))
    snake = r.chance(.6) * r.u(0, .6) / k * torch.sin(u * k + 6.3 * t[..., 3])
    v = v + 6.3 * gap * t[..., 2] + bend * slow + snake + r.chance(.6) * r.u(0, .3) * gap * fast
    v = v + .22 * period * torch.sin(v * 2.4 / period + 6.3 * t[..., 4])      # spaced unevenly
    half = gap * r.log(.2, 1.3) / 2 * torch.exp(.5 * r.u() * fast) + r.chance(.3) * gap * (slow - r.u(.8, 1.6)).clamp(min=0) * r.u(.3, 1.5)
    half = half.clamp(min=.35, max=12)
    d = wrapped(v, period).abs()
    w = v + u * r.u(.3, 1.2) * (r.chance(.5) * 2 - 1) + period * .4 * slow
    thin = wrapped(w, period * r.u(1.3, 3.)).abs()            # branches, at a slant to the first
    soft = torch.where(r.chance(.6) > 0, r.u(.3, .8), r.log(.8, 3.))
    lines = torch.sigmoid((half - d) / soft) * (1 - r.chance(.5) * r.u(0, .7) * torch.sigmoid(3 * (fast - .3)))
    lines = torch.maximum(lines, r.chance(.45) * r.u(.5, 1.) * torch.sigmoid((half * r.u(.3, .7) - thin) / soft))
    has = (t[..., 5] < torch.where(r.chance(.6) > 0, r.u(1, 1.1), r.u(.4, .9))).float()
    L = torch.where(r.chance(.6) > 0, r.u(62, 93), r.u(10, 62))
    body = lab_rgb(L, r.n(3), r.n(6)) * torch.exp(.8 * (t[..., 6:7] - .5)) * torch.exp(.07 * slow)[..., None]
    alb = MIX(p['alb'], body.clamp(.003, .95), r.chance(.75) * r.u(.7, 1.))
    against = lab_rgb(torch.where(L > 50, (L - r.u(20, 75)).clamp(min=4), L + r.u(18, 60)), r.n(4), r.u(-4, 26) * r.chance(.6))
    c = torch.where((r.chance(.75) > 0)[..., None], against, ink(p, r, 6))
    band = torch.exp(-(d / (half * r.u(2., 7.) + 2)) ** 2) * r.chance(.5) * r.u(.1, .45)
    alb = MIX(alb, c, band * has)
    return MIX(alb, c, lines * torch.where(r.chance(.7) > 0, r.u(.75, 1.), r.u(.3, .75)) * has)


def cells(bank, p, r):
    """Breccia, picture tiles in patches, terrazzo, crackle: cells of a lattice, some of other colours, with or without outlines."""
    t = p['t']
    bend = r.chance(.6) * r.u(1., 9.) * bank.at('cloud', p['x'], p['y'], r.log(.06, .25))
    zoom = (between(p, r, 1.2, 1.3) / 16).clamp(min=.2)
    v = bank.at('cells', p['x'] + bend, p['y'] - bend, zoom, p['shift'])
    small = bank.at('cells', p['x'], p['y'], zoom * r.u(.2, .5), p['shift'])
    kind = r.pick(.3, .3, .25, .15)                           # breccia, patches, terrazzo, crackle
    jump = ((v[:, 1:, 1:] - v[:, :-1, 1:]).abs() + (v[:, 1:, 1:] - v[:, 1:, :-1]).abs() > .02).float()[:, None]
    jump = F.pad(jump, (1, 0, 1, 0))
    wide = F.avg_pool2d(F.max_pool2d(jump, 5, 1, 2), 3, 1, 1)[:, 0]
    line = torch.where(r.chance(.5) > 0, F.avg_pool2d(F.max_pool2d(jump, 3, 1, 1), 3, 1, 1)[:, 0], wide)
    alb = china(p, r, .4)
    tone = r.u(.1, .7) * (kind == 0)
    alb = alb * torch.exp(tone * (v - .6) * 2)[..., None]
    share = torch.where(kind == 1, r.u(.3, .9), torch.where(kind == 2, r.u(.2, .6), 0 * r.u()))
    one = ((v < share * .5) & (kind > 0)).float() * r.u(.7, 1.)
    two = torch.where(kind == 2, ((small < share * .6) & (v > share * .5)).float(), ((v > 1 - share * .5) & (kind == 1)).float())
    alb = MIX(MIX(alb, ink(p, r, 0), one), ink(p, r, 1), two)
    outline = torch.where(kind == 0, r.chance(.8), torch.where(kind == 1, r.chance(.6), (kind == 3).float())) * r.u(.4, 1.)
    return MIX(alb, ink(p, r, 2), line * outline).clamp(.003, .96)


def bands(bank, p, r):
    """Wood with its grain, agate, lustre (hue that drifts over the face)."""
    t = p['t']
    v, u = turn(p, r, 0, .3)
    kind = r.pick(.42, .33, .25)                              # wood, agate, lustre
    long = torch.where(kind == 0, r.u(.04, .15), r.u(.8, 1.))
    n = bank.at('cloud', v, u * long, r.log(.1, .5), p['shift'])
    fine = bank.at('streak', v, u, r.log(.4, 1.5), p['shift'])
    period = between(p, r, .8, .8).clamp(min=3.)
    v = v + 99 * t[..., 2]
    phase = torch.where(kind == 0, v / period + r.u(.3, 2.) * n, r.u(1., 5.) * n)
    saw = torch.remainder(phase, 1.)
    ring = torch.where(r.chance(.5) > 0, saw ** r.u(1., 6.), .5 + .5 * torch.sin(phase * 6.283))
    crisp = torch.sigmoid((torch.sin(phase * 6.283) - r.u(-.5, .9)) * r.log(3, 25))
    ring = torch.where(kind == 1, crisp, ring)
    brown = lab_rgb(r.u(25, 75), r.u(4, 22), r.u(12, 38)) * torch.exp(.7 * (t[..., 1:2] - .5))
    alb = MIX(p['alb'], brown, r.chance(.7) * (kind == 0) * r.u(.7, 1.))
    lustre = 1 + r.u(.15, .7)[..., None] * torch.sin(n[..., None] * r.u(.5, 2.5)[..., None] + constant((0., 2.1, 4.2), n.device) + 6.3 * t[..., 3:4])
    alb = torch.where((kind == 2)[..., None], alb * lustre, alb * torch.exp(r.u(0, .2) * fine)[..., None])
    return MIX(alb, ink(p, r, 4) * .6 + .4 * alb, ring * (kind != 2) * r.u(.2, .95)).clamp(.003, .96)


def marks(bank, p, r):
    """Dark strokes in rows like writing, stamps, scribbles, crackle of thin curved lines."""
    t = p['t']
    v, u = turn(p, r, 0, .5)
    high = between(p, r, 1., .7).clamp(min=5.)
    row = torch.floor(v / high)
    wide = high * r.u(.35, .9)
    wild = lambda k: torch.remainder(torch.sin(row * 12.9898 + torch.floor(u / wide) * 78.233 + 19.1 * t[..., 1] + k) * 43.758, 1.)
    du, dv = wrapped(u, wide), wrapped(v, high)
    upright = (du - (wild(1.) - .5) * wide * .7 - dv * (wild(2.) - .5)).abs()
    level = (dv - (wild(3.) - .5) * high * .6).abs()
    bow = (torch.sqrt(du * du + dv * dv) - wide * .35).abs()
    pick = wild(4.)
    d = torch.where(pick < .4, upright, torch.where(pick < .6, torch.minimum(level, upright), torch.where(pick < .85, bow, 0 * bow + 99)))
    letters = torch.minimum(high * r.u(.05, .12) - d, high * r.u(.28, .42) - dv.abs())
    n = bank.at('cloud', p['x'], p['y'], r.log(.1, .5), p['shift'])
    scribble = r.u(.02, .06) * 14 - wrapped(n * r.u(1., 4.), 1.).abs() * 14
    sd = torch.where(r.chance(.6) > 0, letters, scribble)
    return MIX(china(p, r, .6), ink(p, r, 2), stroke(p, r, sd, (t[..., 3] < r.u(.4, 1.3)).float()))


def colour(r):
    return lab_rgb(r.u(8, 94), r.n(22), r.n(24))


def striped(x, y, r):
    """Cloth and printed paper with stripes and checks, no tile at all."""
    th, wide, weave = r.n(.8), r.log(4, 60), 2 * math.pi / r.u(2.5, 7)
    u, v = th.cos() * x + th.sin() * y, th.cos() * y - th.sin() * x
    bar = lambda q, w, duty: torch.sigmoid((w * duty / 2 - wrapped(q, w).abs()) * r.log(.5, 4.))
    out = MIX(colour(r), colour(r), bar(u, wide, r.u(.1, .8)) * r.u(.4, 1.))
    out = MIX(out, colour(r), bar(v, wide * r.log(.6, 1.6), r.u(.1, .8)) * r.u(.3, 1.) * r.chance(.6))
    return out * torch.exp(r.chance(.6) * r.u(.02, .15) * torch.sin(u * weave) * torch.sin(v * weave))[..., None]


def soft_shapes(x, y, noise, r):
    """Shapes as smooth as a face or a room out of focus, no tile at all."""
    k, j = r.log(.008, .06), r.log(.008, .06)
    light = .4 * torch.sin(x * k + r.u(0, 6.3)) + .4 * torch.sin(y * j + r.u(0, 6.3)) + .2 * noise
    out = MIX(colour(r), colour(r), torch.sigmoid((noise + r.n(.7)) * r.log(1.5, 12.)))
    q = torch.sqrt(wrapped(x, r.u(60, 400)) ** 2 + wrapped(y, r.u(60, 400)) ** 2)
    return MIX(out, colour(r), r.chance(.6) * torch.sigmoid((r.u(5, 60) - q) / r.log(.6, 8.))) * torch.exp(light)[..., None]


# share of all pictures
KINDS = ((stripes, .085), (dots, .045), (blobs, .035), (rims, .04), (encaustic, .035), (veins, .10), (cells, .04), (bands, .025), (marks, .015))


def paint(bank, lay, dist, gap, r, faces, ground):
    """Faces [B, R, R, 3] with a strong pattern on about two pictures in five (the sum of the shares)."""
    order = r.u().flatten().argsort()
    batch, total, done, a = len(order), 0., [], 0
    for fn, share in KINDS:
        total += share
        b = int(round(batch * total))
        if b > a:
            done.append(one_kind(fn, bank, lay, dist, gap, faces, ground, order[a:b]))
        a = b
    return faces.index_copy(0, order[:a], torch.cat(done)) if done else faces


def one_kind(fn, bank, lay, dist, gap, faces, ground, which):
    """the faces of some pictures with one kind of pattern"""
    r = Rand(len(which), faces.device)
    p = {k: lay[k][which] for k in ('x', 'y', 'd', 'id')}
    p['lx'], p['ly'] = p['x'] - lay['cx'][which], p['y'] - lay['cy'][which]
    p['dist'], p['gap'], p['alb'] = dist[which], gap[which], faces[which]
    p['bed'] = ground[which].mean((1, 2), keepdim=True)
    p['reach'] = torch.minimum(p['d'].amax((1, 2), keepdim=True), p['gap'] * 40).clamp(min=3.)  # half the widest tile
    p['t'] = look(r.table(7), p['id'])
    p['shift'] = p['t'][..., 0] * r.chance(.7)
    p['ragged'] = r.chance(.4) * r.log(.2, 1.6) * bank.at('pink', p['x'], p['y'], r.log(.3, 1.2))
    return fn(bank, p, r).clamp(.003, .96)
