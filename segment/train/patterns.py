"""What is painted and printed on the faces: stripes, dots, blobs, rims, cement-tile figures, marks; with stone.py, every strong pattern.

About two pictures in five get one, strongly. Each kind is drawn for its own share of the batch only (a random choice of pictures, of
fixed number, so that shapes stay fixed): drawing every kind for every picture and choosing afterwards would cost over ten times as much.
Patterns never touch the label: a stripe as wide, straight and dark as a joint is still tile.
"""
import math

import torch

from brush import between, china, ink, mix, stroke, turn, wrapped
from noise import Rand, look
from stone import bands, cells, veins


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
    alb = mix(alb, ink(p, r, 4), stroke(p, r, width - wrapped(v, period).abs(), has))
    second = r.chance(.5) * has
    alb = mix(alb, ink(p, r, 5), stroke(p, r, period * r.u(.04, .3) - wrapped(v + period * r.u(.3, .7), period).abs(), second))
    across = r.chance(.15) * has
    return mix(alb, ink(p, r, 6), stroke(p, r, width * r.u(.4, 1.2) - wrapped(u, period * r.u(.8, 3.)).abs(), across))


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
    alb = mix(china(p, r), ink(p, r, 5), stroke(p, r, sd, has))
    heart = r.chance(.4) * (kind != 5) * has                  # a second colour inside
    return mix(alb, ink(p, r, 6), stroke(p, r, sd - rad * r.u(.3, .6), heart))


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
    alb = mix(china(p, r, .7), ink(p, r, 0), stroke(p, r, best))
    line = r.chance(.5)
    alb = mix(alb, ink(p, r, 1), stroke(p, r, p['gap'] * r.u(.1, .5) - best.abs(), line))
    return mix(alb, ink(p, r, 2), stroke(p, r, best - s * r.u(.1, .4), r.chance(.3)))


def rims(bank, p, r):
    """Painted lines that follow the tile's edge, a field inside them, rings and crosses round the middle."""
    t, gap, d = p['t'], p['gap'], p['dist']
    alb = china(p, r)
    off = torch.minimum(gap * r.log(.25, 3.), p['reach'] * .6) * (1 + r.chance(.3) * .5 * (t[..., 0] - .5))
    has = (t[..., 1] < r.u(.5, 1.5)).float()
    w = torch.minimum(gap * r.log(.15, 1.3), off * .9) / 2
    alb = mix(alb, ink(p, r, 2), stroke(p, r, d - off, r.chance(.3) * has))                # the field
    alb = mix(alb, ink(p, r, 3), stroke(p, r, w - (d - off).abs(), r.chance(.85) * has))   # one line
    step = w * 2 + gap * r.u(.3, 1.5)
    alb = mix(alb, ink(p, r, 4), stroke(p, r, w * r.u(.4, 1.2) - (d - off - step).abs(), r.chance(.45) * has))
    q = torch.sqrt(p['lx'] ** 2 + p['ly'] ** 2)
    ring = torch.minimum(gap * r.log(.2, 1.5), p['reach'] * .2) / 2 - (q - p['reach'] * r.u(.2, .8)).abs()
    cross = gap * r.log(.15, 1.) / 2 - torch.minimum(p['lx'].abs(), p['ly'].abs())
    many = gap * .3 - wrapped(q, gap * r.u(1., 4.)).abs()
    kind = r.pick(.4, .35, .25)
    figure = torch.where(kind == 0, ring, torch.where(kind == 1, cross, many))
    return mix(alb, ink(p, r, 5), stroke(p, r, figure, r.chance(.4) * has))


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
    alb = mix(china(p, r, .4), ink(p, r, 0), stroke(p, r, both))
    alb = mix(alb, ink(p, r, 1), stroke(p, r, three, r.chance(.5)))
    return mix(alb, ink(p, r, 2), stroke(p, r, p['gap'] * r.u(.1, .5) - both.abs(), r.chance(.3)))


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
    return mix(china(p, r, .6), ink(p, r, 2), stroke(p, r, sd, (t[..., 3] < r.u(.4, 1.3)).float()))


# share of all pictures
KINDS = ((stripes, .11), (dots, .05), (blobs, .04), (rims, .04), (encaustic, .035), (veins, .10), (cells, .04), (bands, .025), (marks, .015))


def paint(bank, lay, dist, gap, r, faces, ground, often=1.):
    """Faces [B, R, R, 3] with a strong pattern on about two pictures in five (the sum of the shares, times `often`)."""
    order = r.u().flatten().argsort()
    batch, total, done, a = len(order), 0., [], 0
    start = float(torch.rand(()))   # in a batch of a few, rounding would leave out the same kinds every time
    for fn, share in KINDS:
        total += share * often
        b = min(batch, int(batch * total + start))
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
