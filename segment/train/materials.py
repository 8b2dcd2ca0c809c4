"""Colours and surfaces: tile faces, beds (paper, board, mesh, mortar), and the table round the panel. Linear RGB maps [B, R, R, 3]."""
import math

import torch

from noise import Rand, look


def lab_rgb(L, a, b):
    """CIE Lab (D65) to linear sRGB, clipped to what a surface can reflect"""
    fy = (L + 16) / 116
    f = lambda t: torch.where(t > 6 / 29, t ** 3, 3 * (6 / 29) ** 2 * (t - 4 / 29))
    X, Y, Z = .95047 * f(fy + a / 500), f(fy), 1.08883 * f(fy - b / 200)
    return torch.stack([3.2404542 * X - 1.5371385 * Y - .4985314 * Z, -.969266 * X + 1.8760108 * Y + .041556 * Z,
                        .0556434 * X - .2040259 * Y + 1.0572252 * Z], -1).clamp(.003, .95)


def tile_colours(lay, r):
    """One colour per tile: plain, two-tone, picture-like fields, many colours, greys, whites, darks, earths."""
    tid = lay['id']
    t = look(r.table(6), tid)
    kind = r.pick(.16, .14, .14, .1, .14, .1, .12, .1)
    L0, a0, b0, L1, a1, b1 = r.u(12, 92), r.n(18), r.n(22), r.u(12, 92), r.n(26), r.n(30)
    # fields of colour across the panel, decided at the tile's centre
    k = 2 * math.pi / (r.log(.4, 2.) * tid.shape[-1])
    wave = torch.sin(lay['cx'] * k + r.u(0, 6.3)) + torch.sin(lay['cy'] * k * 1.3 + r.u(0, 6.3))
    second = torch.where(kind == 7, (wave > r.u(-.5, .5)).float(), (t[..., 3] < .5).float()) * ((kind == 1) | (kind == 7))
    one = torch.ones_like(t[..., 0])
    L, a, b = L0 + (L1 - L0) * second, a0 + (a1 - a0) * second, b0 + (b1 - b0) * second

    def use(k, Lk, ak, bk):
        nonlocal L, a, b
        m = kind == k
        L, a, b = torch.where(m, Lk * one, L), torch.where(m, ak * one, a), torch.where(m, bk * one, b)
    use(2, 25 + t[..., 3] * 65, (t[..., 4] - .5) * 120, (t[..., 5] - .45) * 125)
    use(3, 10 + t[..., 3] * 82, (t[..., 4] - .5) * 5, (t[..., 5] - .45) * 12)
    use(4, 78 + t[..., 3] * 16, (t[..., 4] - .5) * 6, (t[..., 5] - .4) * 12)
    use(5, 7 + t[..., 3] * 28, (t[..., 4] - .5) * 18, (t[..., 5] - .5) * 22)
    use(6, r.u(28, 60) + t[..., 3] * r.u(8, 36), t[..., 4] * 18, 3 + t[..., 5] * 26)
    accent = (t[..., 5] < r.u(.05, .5)) & (r.chance(.2) > 0)
    L, a, b = torch.where(accent, L1 * one, L), torch.where(accent, a1 * one, a), torch.where(accent, b1 * one, b)
    sL, sc = r.u(.3, 8), r.u(.2, 6)
    L, a, b = L + (t[..., 0] - .5) * 2 * sL, a + (t[..., 1] - .5) * 2 * sc, b + (t[..., 2] - .5) * 2 * sc
    return lab_rgb(L.clamp(4, 95), a, b)


def tile_faces(bank, lay, dist, gap, r, flat):
    """Albedo of the faces: colour per tile times what the surface carries (clouds, grain, veins, chips, wood, print)."""
    x, y, tid = lay['x'], lay['y'], lay['id']
    t = look(r.table(4), tid)
    apart = t[..., 0] * r.chance(.8)         # tiles cut from different places of the slab
    alb = tile_colours(lay, r)
    at = lambda kind, lo, hi: bank.at(kind, x, y, r.log(lo, hi), apart)
    amount = lambda p, lo, hi: r.chance(p) * r.log(lo, hi)
    stone = torch.maximum(flat, r.chance(.3))  # coarse stone and concrete
    m = amount(.85, .02, .14) * at('cloud', .15, .8) + amount(.6, .015, .16) * at('pink', .4, 2.5)
    m = m + (.25 + .75 * stone) * amount(.7, .01, .22) * at('grain', .6, 3.)
    speck = at('cells', .1, .6)
    m = m + amount(.12, .1, .6) * (speck - .5) + amount(.1, .1, .7) * (speck > r.u(.85, .97)).float()
    vein = at('ridge', .5, 3.) ** r.u(2, 6)
    m = m + r.chance(.22) * r.u(-.5, .6) * vein
    m = m + r.chance(.07) * r.u(.05, .3) * at('streak', .5, 2.)
    mul = torch.exp(m.clamp(-1.6, .9))
    alb = alb * mul[..., None]
    # a second hue in the clouds, or chips of other colours (terrazzo)
    tint = lab_rgb(r.u(20, 90), r.n(12), r.n(18))
    share = (r.chance(.35) * r.u(.05, .6) * torch.sigmoid(2.5 * at('cloud', .15, 1.)))
    chips = r.chance(.05) * (at('cells', .2, .9) > r.u(.5, .8)).float() * .85
    share = torch.maximum(share, chips)[..., None]
    alb = alb * (1 - share) + tint * share
    # printed pattern: two tones in simple figures repeated on each tile
    lx, ly = x - lay['cx'], y - lay['cy']
    f = math.pi / gap * r.log(.08, .5)
    fig = torch.where(r.chance(.5) > 0, torch.sin(lx * f) * torch.sin(ly * f), torch.cos(torch.sqrt(lx * lx + ly * ly) * f))
    ink = (r.chance(.06) * r.u(.2, .9) * torch.sigmoid((fig - r.u(-.3, .5)) * 12))[..., None]
    alb = alb * (1 - ink) + lab_rgb(r.u(10, 90), r.n(15), r.n(20)) * ink
    # a paler or darker rim: glaze drawn from the edge, worn or chipped arrises
    rim = r.chance(.2) * r.u(-.5, .45) * torch.exp(-(dist.clamp(min=0) / (gap * r.log(.1, .8))) ** 2)
    alb = alb * (1 + rim * (1 + .5 * bank.at('pink', x, y, .6)).clamp(0, 1.6))[..., None]
    # hairline cracks in a few tiles; dirt across everything on old floors
    crack = ((bank.at('cloud', x, y, r.u(1.5, 4.), t[..., 1]).abs() < .012) & (t[..., 2] < .06)).float() * r.chance(.15) * .5
    dirt = (r.chance(.3) * flat + r.chance(.04)) * r.u(.1, .5) * torch.sigmoid(2 * bank.at('pink', x, y, r.log(.8, 3)) - 1)
    return (alb * (1 - crack[..., None]) * (1 - dirt[..., None])).clamp(.003, .96)


def bed(bank, lay, gap, r, faces, mortar):
    """Albedo of what lies under and between the tiles. mortar = 1: the joint is already filled (sand, cement, moss)."""
    x, y = lay['x'], lay['y']
    kind = r.pick(.34, .12, .16, .08, .1, .1, .1)  # white paper, black, greys, kraft/wood, any colour, thinset, board
    L = torch.where(kind == 0, r.u(82, 96), torch.where(kind == 1, r.u(5, 24), torch.where(kind == 2, r.u(40, 80), torch.where(kind == 3, r.u(45, 72), torch.where(kind == 5, r.u(50, 88), r.u(12, 95))))))
    a = torch.where(kind == 3, r.u(3, 14), torch.where(kind == 4, r.n(32), r.n(1.5)))
    b = torch.where(kind == 3, r.u(14, 32), torch.where(kind == 4, r.n(32), r.n(2.5)))
    a, b = torch.where(mortar > 0, r.n(2), a), torch.where(mortar > 0, r.u(-2, 16), b)
    L = torch.where(mortar > 0, r.u(15, 85), L)
    out = lab_rgb(L, a, b)
    # sometimes nearly the colour of the tiles
    near = torch.maximum(r.chance(.16), mortar * r.chance(.6)) * r.u(.5, .95)
    mean = faces.mean((1, 2), keepdim=True) * torch.exp(r.n(.35) - .25 * mortar)[..., None]
    out = out * (1 - near[..., None]) + mean * near[..., None]
    # or the very stuff of the faces, so that only the groove's shading tells the joint
    same = (mortar * r.chance(.3))[..., None]
    out = out * (1 - same) + faces * torch.exp(r.n(.12) - .08)[..., None] * same
    rough = r.chance(.7) * r.log(.01, .06) + ((kind == 5) | (mortar > 0)) * r.u(.05, .3) + (kind == 6) * r.u(.03, .15)
    m = rough * bank.at('grain', x, y, r.log(.7, 2.5)) + r.chance(.5) * r.log(.02, .15) * bank.at('pink', x, y, r.log(.5, 3.))
    m = m + (kind == 3) * r.chance(.5) * r.u(.05, .2) * bank.at('streak', x, y, r.u(.6, 2.))
    # trowel ridges, mesh, pencil lines
    p = gap * r.u(1.2, 5.)
    m = m + (kind == 5) * r.u(0, .3) * torch.sin((x * r.n(.5) + y) * 2 * math.pi / p + bank.at('cloud', x, y, 1.))
    mp = gap * r.u(.7, 2.5)
    mesh = torch.maximum(torch.cos(2 * math.pi * x / mp), torch.cos(2 * math.pi * y / mp)).clamp(min=0) ** 6
    m = m + r.chance(.15) * (1 - mortar) * r.u(-.7, .7) * mesh
    dist = lambda v, w: (torch.remainder(v + w / 2, w) - w / 2).abs()
    w = gap * r.log(6, 40)
    grid = torch.minimum(dist(x + r.u(0, 99), w), dist(y + r.u(0, 99), w))
    curve = bank.at('cloud', x, y, r.u(1., 3.)).abs() * r.u(60, 160)
    line = torch.where(r.chance(.5) > 0, grid, curve) / r.u(.4, 1.2)
    m = m - r.chance(.16) * (1 - mortar) * r.u(.2, 1.2) * (1 - line).clamp(0, 1)
    out = out * torch.exp(m.clamp(-2, 1))[..., None]
    moss = (mortar * r.chance(.3) * torch.sigmoid(4 * (bank.at('pink', x, y, r.log(.5, 2.)) - r.u(-.6, 1.2))))[..., None]
    green = lab_rgb(r.u(15, 50), r.u(-22, 2), r.u(10, 38)) * torch.exp(.35 * bank.at('grain', x, y, r.u(.8, 2.)))[..., None]
    return (out * (1 - moss) + green * moss).clamp(.003, .96)


def table(bank, lay, r):
    """What lies round the sheet: wood, stone, cloth, carpet, plain board."""
    x, y = lay['x0'], lay['y0']
    kind = r.pick(.38, .27, .14, .13, .08)  # wood, stone, cloth, plain, clutter
    L = r.u(12, 85)
    a, b = torch.where(kind == 0, r.u(3, 18), r.n(6)), torch.where(kind == 0, r.u(10, 35), r.n(9))
    m = (kind == 0) * (r.u(.05, .3) * bank.at('streak', x, y, r.log(.5, 3)) + r.u(.05, .25) * bank.at('cloud', x, y, r.u(.1, .4)))
    m = m + (kind == 1) * (r.u(.02, .3) * bank.at('pink', x, y, r.log(.5, 3)) + r.u(0, .3) * bank.at('cells', x, y, r.log(.2, 1.5)))
    wv = 2 * math.pi / r.u(2.5, 7)
    m = m + (kind == 2) * (r.u(.05, .2) * torch.sin(x * wv) * torch.sin(y * wv) + r.u(.02, .2) * bank.at('grain', x, y, r.u(.8, 2)))
    m = m + r.log(.01, .08) * bank.at('grain', x, y, r.u(.6, 1.5))
    flat = lab_rgb(L, a, b)
    # clutter: things that are no surface at all
    n = [bank.at(k, x, y, r.log(.3, 2.5)) for k in ('pink', 'cloud', 'pink')]
    patch = bank.at('cells', x, y, r.log(1., 8.))
    mess = lab_rgb((50 + 25 * n[0] + 30 * (patch - .5)).clamp(3, 96), r.u(0, 30) * n[1], r.u(0, 30) * n[2])
    out = torch.where((kind == 4)[..., None], mess, flat * torch.exp(m.clamp(-1.5, 1))[..., None])
    return out.clamp(.003, .96)
