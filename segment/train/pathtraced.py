"""Path-traced photos of tile layouts with exact coverage, in batches on CPU or GPU (dataset.py writes them to a file).

Layouts, face and bed colours and the camera are those of the procedural generator (layouts.py, materials.py, camera.py); what its
renderer guesses (walls, bevels, shadows, bounces, gloss) is traced here by tracer.cu through solid tiles under lamps and a room.
"""
import math

import numpy as np
import torch
import torch.nn.functional as F

import camera
import layouts
import materials
import patterns
from noise import Rand, look
from tracer import LIGHT0, LIGHT_SIZE, PARAMS

EDGE = 6     # pixels traced round the picture, for the camera's blurs
PAD = 26     # pixels of scene beyond what is traced, so that walls and shadows from outside fall in
S = 2        # texels per pixel


def layout(bank, batch, R, dev, gap, pitch):
    """maps in pixels, S texels per pixel"""
    lay = layouts.draw(bank, batch, R * S, dev, gap * S, pitch * S)
    return {k: v if k == 'id' else v / S for k, v in lay.items()}


def outline(bank, lay, gap, r, flat):
    """Signed distance to the tiles' edges (> 0 inside): joints by tile and region, rough edges, missing tiles, ends of the panel."""
    t = look(r.table(3), lay['id'])
    half = gap / 2 * (1 + r.u(0, .35) * (t[..., 0] - .4)) * torch.exp(r.chance(.4) * r.u(0, .25) * bank.at('cloud', lay['x'], lay['y'], r.u(.8, 2.)))
    x, y = lay['x'], lay['y']
    rough = torch.where(flat > 0, r.chance(.6) * r.u(.02, .14), r.chance(.35) * r.u(0, .07)) * gap
    dist = lay['d'] - half + rough * bank.at('pink', x, y, r.log(.35, 1.5)) + r.chance(.2) * r.u(0, .25) * bank.at('grain', x, y, r.u(1., 2))
    none = -(lay['d'] + half)                                # no tile here: so far to the next one
    dist = torch.where((t[..., 1] < r.u(.01, .06)) & (r.chance(.25) > 0), none, dist)
    on_table = torch.full_like(dist, -1e4)
    for axis, has in (('x', r.chance(.24)), ('y', r.chance(.14))):
        sign, off, cut = r.chance(.5) * 2 - 1, has > 0, r.chance(.4)
        c, v, v0 = sign * lay['c' + axis], sign * lay[axis], sign * lay[axis + '0']
        lo, hi = v.amin((1, 2), keepdim=True), v.amax((1, 2), keepdim=True)
        limit = lo + (hi - lo) * r.u(.45, .9)
        dist = torch.where((c > limit) & (cut == 0) & off, none, dist)
        dist = torch.where((cut > 0) & off, torch.minimum(dist, limit - v), dist)
        end = limit - (v - v0).mean((1, 2), keepdim=True) + r.log(3, 150)
        on_table = torch.where(off, torch.maximum(on_table, v0 - end), on_table)
    return dist, on_table


def heights(bank, lay, gap, pitch, mm, r, flat):
    """Per picture: thickness, bevel, grout level. Per place: height of the tops (lippage, tilt, relief), slope of the walls, bevel factor."""
    thick = mm * torch.where(flat > 0, r.u(.15, 1.8), torch.where(r.chance(.08) > 0, r.u(1.5, 3.), r.log(3., 12.)))
    kind = r.pick(.2, .6, .2)                                # sharp arris, bevel, cushion edge
    bev = mm * torch.where(kind == 0, r.log(.03, .15), torch.where(kind == 1, r.log(.15, .8), r.log(.6, 1.8)))
    bev = torch.minimum(bev, thick * .6)
    wide = torch.minimum(bev * torch.where(kind == 2, r.log(.8, 2.5), r.log(.6, 1.8)), torch.minimum(gap * 1.2, pitch * .3))
    level = torch.minimum(mm * r.u(.65, .95), thick)
    level = torch.where(flat > 0, thick, level)
    t = look(r.table(6), lay['id'])
    uneven = mm * (r.u(0, .35) + r.chance(.1) * (1 - flat) * r.u(.5, 2.))
    lip = torch.minimum(uneven, level * torch.where(flat > 0, r.u(0, .25), r.u(.1, .45))) * t[..., 0] * t[..., 1]
    slope = torch.minimum(r.chance(.6) * r.u(0, .06), .3 * level / pitch)
    tilt = slope * ((t[..., 2] - .5) * (lay['x'] - lay['cx']) + (t[..., 3] - .5) * (lay['y'] - lay['cy']))
    # relief: wavy glaze or pitted stone
    wavy = torch.minimum(r.chance(.45) * r.log(.02, .6), .05 * level)
    pits = torch.minimum(r.chance(.25) * r.log(.02, .2), .05 * level)
    relief = wavy * bank.at('cloud', lay['x'], lay['y'], r.u(.12, .5), t[..., 4]) + pits * bank.at('pink', lay['x'], lay['y'], r.log(.4, 2.), t[..., 4])
    top = (tilt + relief - lip - 1.5 * (wavy + pits) - slope * pitch * .35).clamp(max=0)
    slant = r.chance(.45) * r.u(-.1, .22) + r.chance(.2) * r.u(0, .5) * (t[..., 5] - .4)
    chips = torch.exp(r.u(0, .4) * (t[..., 4] - .5) + r.chance(.3) * r.u(.1, .6) * bank.at('pink', lay['x'], lay['y'], r.log(.4, 1.5))).clamp(.35, 2.5)
    return dict(thick=thick, bev=bev, wide=wide, level=level, round=r.chance(.7)), top, slant + 0 * top, chips


def ground_relief(bank, lay, gap, mm, r, flat, thick):
    """height of the bed above -thickness (and its most): waves of paper, trowel ridges, mesh, sand"""
    x, y = lay['x'], lay['y']
    kind = r.pick(.45, .2, .13, .1, .12)                     # flat, wavy, trowelled, mesh, rough
    kind = torch.where(flat > 0, torch.full_like(kind, 4), kind)
    p = gap * r.u(1.2, 5.)
    z = (kind == 1) * mm * r.log(.03, .5) * bank.at('cloud', x, y, r.u(.2, 1.))
    z = z + (kind == 2) * mm * (r.u(.2, 1.2) * torch.sin((x * r.n(.5) + y) * 2 * math.pi / p + bank.at('cloud', x, y, 1.)) + r.u(.05, .3) * bank.at('pink', x, y, r.log(.5, 2.)))
    mp = gap * r.u(.7, 2.5)
    z = z + (kind == 3) * mm * r.u(.1, .5) * torch.maximum(torch.cos(2 * math.pi * x / mp), torch.cos(2 * math.pi * y / mp)).clamp(min=0) ** 4
    z = z + (kind == 4) * mm * (r.log(.02, .25) * bank.at('pink', x, y, r.log(.4, 2.)) + r.log(.01, .1) * bank.at('grain', x, y, r.u(1., 2.5)))
    most = torch.minimum(mm * 2.5, thick * torch.where(flat > 0, .45 * torch.ones_like(thick), .7 * torch.ones_like(thick)))
    z = z.clamp(min=-mm).minimum(most)
    return z, torch.where(kind == 0, torch.zeros_like(most), z.amax((1, 2), keepdim=True).clamp(min=0) + .01)


def ground_colours(bank, lay, gap, r, faces, flat, on_table):
    """bed of the procedural generator, oftener black or white paper; the table beyond the sheet"""
    ground = materials.bed(bank, lay, gap, r, faces, flat)
    kind = r.pick(.4, .36, .24)
    kind = torch.where(flat > 0, torch.zeros_like(kind), kind)[..., None]
    grey = ground.mean((1, 2, 3), keepdim=True).clamp(min=.01)
    tone = torch.where(kind == 1, r.log(.012, .06)[..., None], r.u(.72, .92)[..., None])
    tint = torch.exp(torch.randn(ground.shape[0], 1, 1, 3, device=ground.device) * .03)
    paper = (tone * tint * (ground.mean(-1, keepdim=True) / grey).clamp(.6, 1.3)).clamp(.004, .95)
    ground = torch.where(kind > 0, paper, ground)
    return torch.where(on_table[..., None] > 0, materials.table(bank, lay, r), ground)


# ---------------------------------------------------------------- light

def rectangle(rng, kind, mm, size):
    """-> (centre, half sides U and V, share of the light, bar, azimuth) in pixels; the picture's middle lies at (size/2, size/2, 0)"""
    phi = rng.uniform(0, 2 * math.pi)
    log = lambda a, b: math.exp(rng.uniform(math.log(a), math.log(b)))
    el, dist, w, h, share, bar = {
        'window': lambda: (rng.uniform(.25, 1.15), log(500, 3500), log(200, 1000), log(250, 900), rng.uniform(.35, .88), rng.random() < .35),
        'lamp': lambda: (rng.uniform(.4, 1.4), log(350, 2000), log(12, 90), log(12, 90), rng.uniform(.4, .93), False),
        'softbox': lambda: (rng.uniform(.5, 1.45), log(500, 2500), log(120, 700), log(120, 700), rng.uniform(.4, .92), False),
        'sun': lambda: (rng.uniform(.3, 1.25), 5e4, 5e4 * .0047, 5e4 * .0047, rng.uniform(.5, .9), False),
        'flash': lambda: (rng.uniform(1.25, 1.52), log(350, 1000), log(4, 15), log(4, 15), rng.uniform(.35, .9), False),
    }[kind]()
    d = np.array([math.cos(el) * math.cos(phi), math.cos(el) * math.sin(phi), math.sin(el)])
    u = np.array([-math.sin(phi), math.cos(phi), 0.])
    v = np.array([0., 0., 1.]) if kind == 'window' else np.cross(d, u)
    if kind in ('softbox', 'lamp') and rng.random() < .6:   # turned about its own axis
        a = rng.uniform(0, math.pi)
        u, v = math.cos(a) * u + math.sin(a) * v, math.cos(a) * v - math.sin(a) * u
    C = d * dist * mm + np.array([size / 2, size / 2, 0])
    return C, u * w * mm, v * h * mm, share, bar, phi


def lights(rng, mm, size, flat):
    """-> row of numbers for the tracer: room and up to three rectangles"""
    row = np.zeros(PARAMS, 'f4')
    warm = lambda sd: np.exp(np.array([1., 0., -1.]) * rng.normal() * sd + rng.normal(size=3) * .02)
    kinds, odds = ('room', 'window', 'lamp', 'softbox', 'sun', 'flash'), ((.16, .34, .16, .2, .06, .08) if not flat else (.55, .15, .08, .14, .06, .02))
    kind = kinds[rng.choice(6, p=odds)]
    found, left = [], 1.
    if kind != 'room':
        found.append(rectangle(rng, kind, mm, size))
    if rng.random() < .3:
        found.append(rectangle(rng, kinds[1 + rng.choice(3)], mm, size))
        if rng.random() < .25:
            found.append(rectangle(rng, kinds[1 + rng.choice(3)], mm, size))
    parts = []
    for i, (C, U, V, s, bar, _) in enumerate(found):
        part = s if i == 0 and kind != 'room' else left * rng.uniform(.1, .5)
        part = min(part, left)
        left -= part
        d = C - np.array([size / 2, size / 2, 0])
        dist = np.linalg.norm(d)
        n = np.cross(U, V)
        area = 4 * np.linalg.norm(n)
        n = n / np.linalg.norm(n)
        got = area * abs(n @ d) / dist * max(.05, d[2] / dist) / dist ** 2
        rgb = warm(.12) * part * math.pi / got
        parts.append(part)
        row[LIGHT0 + i * LIGHT_SIZE:][:LIGHT_SIZE] = [*C, *U, *V, *rgb, area, float(bar), part, 0]
    if parts:
        for i in range(len(parts)):
            row[LIGHT0 + i * LIGHT_SIZE + 14] = parts[i] / sum(parts)
    row[27] = len(parts)
    row[18:21] = warm(.1) * max(left, .03)
    a, wind = (rng.uniform(0, .5), rng.uniform(0, 6.3)) if kind == 'room' else (rng.uniform(.05, .9), found[0][5])
    wind += rng.normal() * .6
    row[21:27] = [a * math.cos(wind), a * math.sin(wind), rng.uniform(-.7, .8), (rng.random() < .5) * rng.uniform(0, .6), rng.uniform(2, 9), rng.uniform(0, 6.3)]
    return row


# ---------------------------------------------------------------- picture

def sample(bank, tracer, batch, size, dev, spp=64, gap_lo=2.2, gap_hi=14., rng=None, painted=1.):
    """-> photo [B, 3, size, size] in 0..1 (sRGB-encoded), tile coverage and bed with nothing on it [B, 1, size, size]"""
    rng = rng or np.random.default_rng(int(torch.randint(1 << 31, (1,))))
    Rt = size + 2 * EDGE
    R = Rt + 2 * PAD
    r = Rand(batch, dev)
    gap = r.log(gap_lo, gap_hi)
    ratio = torch.where(r.chance(.17) > 0, r.log(20., 90.), r.log(3.5, 24.))
    pitch = (gap * ratio).clamp(min=11)
    pitch = torch.minimum(pitch, torch.full_like(pitch, size * .8))
    flat = r.chance(.04)
    mm = gap / torch.where(r.chance(.2) > 0, r.log(.6, 1.5), r.log(1.3, 6.))
    lay = layout(bank, batch, R, dev, gap, pitch)
    dist, on_table = outline(bank, lay, gap, r, flat)
    faces = materials.tile_faces(bank, lay, dist, gap, r, flat)
    g, top, slant, chips = heights(bank, lay, gap, pitch, mm, r, flat)
    relief, most = ground_relief(bank, lay, gap, mm, r, flat, g['thick'])
    ground = ground_colours(bank, lay, gap, r, faces, flat, on_table)
    faces = torch.where(flat[..., None] > 0, faces, patterns.paint(bank, lay, dist, gap, r, faces, ground, painted))
    geo = torch.stack([dist.clamp(-60, 60), top, slant, chips], -1)
    shine = torch.exp(r.chance(.3) * r.u(0, .5) * bank.at('pink', lay['x'], lay['y'], r.log(.3, 1.5))).clamp(.4, 2.5)
    face = torch.cat([faces, (shine + 0 * dist)[..., None]], -1)
    bed = torch.cat([ground, (relief + 0 * dist)[..., None]], -1)
    # numbers per picture
    P = np.zeros((batch, PARAMS), 'f4')
    mms, flats = mm.flatten().tolist(), flat.flatten().tolist()
    for i in range(batch):
        P[i] = lights(rng, mms[i], Rt, flats[i] > 0)
    P = torch.from_numpy(P).to(dev)
    D, ang, off = r.log(500, 3500), r.u(0, 2 * math.pi), torch.sqrt(r.u(0, 1)) * r.u(.15, .6) * (1 - .9 * flat)
    coat = r.chance(.65)
    clay = faces.mean((1, 2)) * .3 + torch.tensor((.5, .42, .34), device=dev) * r.log(.3, 1.6)[..., 0] * .7
    numbers = [gap / 2 * .75, g['level'], g['thick'], g['bev'].clamp(min=.03), g['wide'].clamp(min=.03), g['round'], off * ang.cos(), off * ang.sin(), (1 - .9 * flat) / D, coat,
               r.log(.02, .5), coat * r.chance(.6), r.chance(.07) * (1 - flat), r.u(.15, .5), r.chance(.35) * (1 - flat) * r.u(.5, 1)]
    for i, v in enumerate(numbers):
        P[:, i] = v.reshape(-1)
    P[:, 15:18] = clay.clamp(.01, .95)
    P[:, 28] = most.reshape(-1)
    rad, label = tracer(P, geo, face, bed, Rt, PAD, S, spp, int(rng.integers(1 << 31)))
    im = camera.photo(rad, r, size)
    cut = lambda m: m[:, None, EDGE:-EDGE, EDGE:-EDGE].contiguous()
    bare = F.avg_pool2d(((dist < -.15 * gap - 1) & (on_table <= 0)).float()[:, None], S)[:, 0, PAD:-PAD, PAD:-PAD]
    return im, cut(label), cut(((bare > .99) & (label < .01)).float())
