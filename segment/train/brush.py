"""What patterns are painted with: colours, cover from a signed distance, directions and lengths.

Maps p of some pictures: x, y; lx, ly from the tile's middle; d to the cell's border, dist to the tile's edge; gap; reach (half the widest
tile); t, numbers per tile; shift, which moves tiles apart in noise; alb, the faces' colour; bed, the bed's mean colour; ragged, in pixels.
"""
import math

import torch


def lab_rgb(L, a, b):
    """CIE Lab (D65) to linear sRGB, clipped to what a surface can reflect"""
    fy = (L + 16) / 116
    f = lambda t: torch.where(t > 6 / 29, t ** 3, 3 * (6 / 29) ** 2 * (t - 4 / 29))
    X, Y, Z = .95047 * f(fy + a / 500), f(fy), 1.08883 * f(fy - b / 200)
    return torch.stack([3.2404542 * X - 1.5371385 * Y - .4985314 * Z, -.969266 * X + 1.8760108 * Y + .041556 * Z,
                        .0556434 * X - .2040259 * Y + 1.0572252 * Z], -1).clamp(.003, .95)


def mix(base, colour, share):
    return base + (colour - base) * share[..., None]


def colour(r):
    return lab_rgb(r.u(8, 94), r.n(22), r.n(24))


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
    return mix(p['alb'], c, r.chance(chance) * r.u(.8, 1.))


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
