"""Procedural photos of tile layouts with exact coverage, in batches on CPU or GPU.

    python3 synth.py SEED sheet.png     draws sixteen pictures beside their labels
"""
import sys
import time

import torch

import camera
import layouts
import materials
import render
from noise import Bank, Rand, look

MARGIN = 16  # pixels rendered round the crop, so that shadows and walls from outside fall in


def edges(lay, dist, size, r):
    """Ends of the panel: whole tiles stop at a line, or are cut there; then bare bed, then the table. -> (dist, on_table > 0)"""
    x, y = lay['x'], lay['y']
    out_t = torch.full_like(dist, -1e4)
    for axis, has in (('x', r.chance(.26)), ('y', r.chance(.16))):
        sign, off, cut = r.chance(.5) * 2 - 1, has > 0, r.chance(.4)
        c, v, v0 = sign * lay['c' + axis], sign * lay[axis], sign * lay[axis + '0']
        lo, hi = v.amin((1, 2), keepdim=True), v.amax((1, 2), keepdim=True)
        limit = lo + (hi - lo) * r.u(.45, .9)
        dist = torch.where((c > limit) & (cut == 0) & off, torch.full_like(dist, -99.), dist)
        dist = torch.where((cut > 0) & off, torch.minimum(dist, limit - v), dist)
        sheet_end = limit - (v - v0).mean((1, 2), keepdim=True) + r.log(3, 150)
        out_t = torch.where(off, torch.maximum(out_t, v0 - sheet_end), out_t)
    return dist, out_t


def sample(bank, batch, size, dev, gap_lo=2., gap_hi=14.):
    """-> photo [B, 3, size, size] in 0..1 (sRGB-encoded), tile coverage [B, 1, size, size]. size must divide by 16."""
    R = size + 2 * MARGIN
    r = Rand(batch, dev)
    gap = r.log(gap_lo, gap_hi)
    ratio = torch.where(r.chance(.17) > 0, r.log(20., 90.), r.log(3.5, 24.))   # large format now and then
    pitch = (gap * ratio).clamp(min=11)
    pitch = torch.minimum(pitch, torch.full_like(pitch, size * .8))
    flat = r.chance(.26)                                    # already filled joints, seen square-on
    mm = gap / torch.where(r.chance(.2) > 0, r.log(.5, 1.5), r.log(1.3, 6.))  # pixels per millimetre
    lay = layouts.draw(bank, batch, R, dev, gap, pitch)
    # joints: width by tile and by region, rough edges of cut stone
    t = look(r.table(3), lay['id'])
    wide = gap / 2 * (1 + r.u(0, .35) * (t[..., 0] - .4)) * torch.exp(r.chance(.4) * r.u(0, .25) * bank.at('cloud', lay['x'], lay['y'], r.u(.8, 2.)))
    x, y = lay['x'], lay['y']
    rough = torch.where(flat > 0, r.chance(.6) * r.u(.02, .14), r.chance(.35) * r.u(0, .1)) * gap
    dist = lay['d'] - wide + rough * bank.at('pink', x, y, r.log(.35, 1.5)) + r.chance(.3) * r.u(0, .35) * bank.at('grain', x, y, r.u(.8, 2))
    dist = torch.where((t[..., 1] < r.u(.01, .06)) & (r.chance(.2) > 0), torch.full_like(dist, -99.), dist)  # missing tiles
    dist, on_table = edges(lay, dist, R, r)
    faces = materials.tile_faces(bank, lay, dist, gap, r, flat)
    ground = materials.bed(bank, lay, gap, r, faces, flat)
    far_table = materials.table(bank, lay, r)
    # no tiles at all (bare bed, table); and butted or printed patterns without joints, which are all tile
    kind = r.pick(.95, .03, .02)
    dist = torch.where(kind == 1, torch.full_like(dist, -99.), torch.where(kind == 2, torch.full_like(dist, 40.), dist))
    on_table = torch.where((kind == 1) & (r.chance(.6) > 0), torch.full_like(on_table, 9.), on_table)
    on_table = torch.where(kind == 2, torch.full_like(on_table, -1e4), on_table)
    rad, label, _ = render.render(lay, dist, gap, mm, faces, ground, far_table, on_table, r, bank, flat)
    im = camera.photo(rad, r, size)
    return im, label[:, None, MARGIN:-MARGIN, MARGIN:-MARGIN].contiguous()


def sheet(path, seed, size=256, n=16, **kw):
    import cv2
    import numpy as np
    torch.manual_seed(seed)
    bank = Bank('cpu')
    t = time.time()
    im, al = sample(bank, n, size, 'cpu', **kw)
    order = torch.randperm(n)
    print('seconds %.1f, mean coverage %.3f, finite %s' % (time.time() - t, al.mean(), bool(torch.isfinite(im).all())))
    a = (im[order].permute(0, 2, 3, 1).numpy()[..., ::-1] * 255).round().astype('u1')
    l = (al[order, 0].numpy() * 255).astype('u1')
    cells = [np.hstack([a[i], cv2.cvtColor(l[i], cv2.COLOR_GRAY2BGR)]) for i in range(n)]
    cv2.imwrite(path, np.vstack([np.hstack(cells[i:i + 4]) for i in range(0, n, 4)]))


if __name__ == '__main__':
    with torch.no_grad():
        sheet(sys.argv[2], int(sys.argv[1]))
