"""Strong patterns that grow in the material: veins of marble, cells (breccia, patches, terrazzo, crackle), bands (wood, agate, lustre)."""
import math

import torch
import torch.nn.functional as F

from brush import between, china, ink, lab_rgb, mix, turn, wrapped
from noise import constant


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
    alb = mix(p['alb'], body.clamp(.003, .95), r.chance(.75) * r.u(.7, 1.))
    against = lab_rgb(torch.where(L > 50, (L - r.u(20, 75)).clamp(min=4), L + r.u(18, 60)), r.n(4), r.u(-4, 26) * r.chance(.6))
    c = torch.where((r.chance(.75) > 0)[..., None], against, ink(p, r, 6))
    band = torch.exp(-(d / (half * r.u(2., 7.) + 2)) ** 2) * r.chance(.5) * r.u(.1, .45)
    alb = mix(alb, c, band * has)
    return mix(alb, c, lines * torch.where(r.chance(.7) > 0, r.u(.75, 1.), r.u(.3, .75)) * has)


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
    alb = mix(mix(alb, ink(p, r, 0), one), ink(p, r, 1), two)
    outline = torch.where(kind == 0, r.chance(.8), torch.where(kind == 1, r.chance(.6), (kind == 3).float())) * r.u(.4, 1.)
    return mix(alb, ink(p, r, 2), line * outline).clamp(.003, .96)


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
    alb = mix(p['alb'], brown, r.chance(.7) * (kind == 0) * r.u(.7, 1.))
    lustre = 1 + r.u(.15, .7)[..., None] * torch.sin(n[..., None] * r.u(.5, 2.5)[..., None] + constant((0., 2.1, 4.2), n.device) + 6.3 * t[..., 3:4])
    alb = torch.where((kind == 2)[..., None], alb * lustre, alb * torch.exp(r.u(0, .2) * fine)[..., None])
    return mix(alb, ink(p, r, 4) * .6 + .4 * alb, ring * (kind != 2) * r.u(.2, .95)).clamp(.003, .96)
