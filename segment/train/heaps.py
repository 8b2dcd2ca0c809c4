"""Heaps of loose stones: stone beside stone as in a laid floor, but on top of each other and without a bed. Nothing of them is tile."""
import math

import torch

from materials import lab_rgb
from noise import Rand, gauss, hash2, look


def stones(x, y, pitch, r):
    """One layer of round stones on a jittered lattice -> (is there one, its number, height of the dome 0..1, slope towards x and y)"""
    tab, far = r.table(4), torch.full_like(x, 1e9)
    best, tid, sx, sy, rad = far, torch.zeros_like(x, dtype=torch.long), far, far, torch.ones_like(x)
    u, v = torch.floor(x / pitch), torch.floor(y / pitch)
    for dj in (-1, 0, 1):
        for di in (-1, 0, 1):
            i, j = u + di, v + dj
            h = hash2(i, j)
            t = look(tab, h)
            cx, cy, size = (i + t[..., 0]) * pitch, (j + t[..., 1]) * pitch, pitch * (.3 + .45 * t[..., 2])
            long = .7 + .6 * t[..., 3]
            d = torch.sqrt(((x - cx) * long) ** 2 + ((y - cy) / long) ** 2) / size
            m = d < best
            best, tid, sx, sy, rad = torch.where(m, d, best), torch.where(m, h, tid), torch.where(m, cx, sx), torch.where(m, cy, sy), torch.where(m, size, rad)
    dome = torch.sqrt((1 - best.clamp(max=1) ** 2).clamp(min=0))
    return best < 1, tid, dome, (x - sx) / rad, (y - sy) / rad


def heap(bank, batch, size, dev):
    """-> linear radiance [B, 3, size, size]"""
    r = Rand(batch, dev)
    line = torch.arange(size, device=dev, dtype=torch.float32)
    yy, xx = torch.meshgrid(line, line, indexing='ij')
    pitch, phi = r.log(9, 60), r.u(0, 2 * math.pi)
    L, a, b, grey = r.u(25, 75), r.n(5), r.n(9), r.u(4, 18)
    out = (lab_rgb(.3 * L, a, b) * torch.ones(batch, size, size, 1, device=dev))
    for layer in range(4):   # from below
        x, y = xx[None] + r.u(0, 999), yy[None] + r.u(0, 999)
        x, y = x + .15 * pitch * bank.at('cloud', x, y, r.u(.5, 1.5)), y + .15 * pitch * bank.at('cloud', x, y, r.u(.5, 1.5))
        on, tid, dome, nx, ny = stones(x, y, pitch * r.u(.7, 1.3), r)
        t = look(r.table(3), tid)
        colour = lab_rgb((L + grey * 2 * (t[..., 0] - .5)).clamp(4, 95), a + 10 * (t[..., 1] - .5), b + 14 * (t[..., 2] - .5))
        light = (.35 + .5 * dome - .45 * (nx * phi.cos() + ny * phi.sin())).clamp(min=.08) * torch.exp(.12 * bank.at('grain', x, y, r.u(.7, 2)))
        shadow = gauss(on.float()[:, None], 3.)[:, 0]
        out = torch.where(on[..., None], colour * light[..., None], out * (1 - .6 * shadow)[..., None])
    return out.permute(0, 3, 1, 2)
