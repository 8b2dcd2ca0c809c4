"""Draws pictures into a file for tune.py: [N, 8, SIZE, SIZE] uint8, as pool.py takes them (picture, coverage, bare bed, second photo).

    python3 dataset.py plain OUT.npy N SEED [SIZE SPP]      path-traced, SPP rays per pixel (224, 32)
    python3 dataset.py painted OUT.npy N SEED [SIZE SPP]    the same, three in four with a strong pattern
    python3 dataset.py drawn OUT.npy N SEED [SIZE]          by synth.py (288)
"""
import sys
import time

import numpy as np
import torch

import pathtraced
import synth
from noise import Bank
from tracer import Tracer

PAINTED = dict(plain=0., painted=.75 / .445)   # share of the patterned, in units of patterns.py's


def batches(kind, n, seed, size, spp, dev):
    torch.manual_seed(seed)
    rng, bank = np.random.default_rng(seed), Bank(dev)
    tracer = Tracer(dev) if kind in PAINTED else None
    batch = 32 if 'cuda' in dev else 4 if tracer else 16
    for _ in range(0, n, batch):
        if tracer:
            im, al, bare = pathtraced.sample(bank, tracer, batch, size, dev, spp, rng=rng, painted=PAINTED[kind])
            parts = im, al, bare, im   # no second photo
        else:
            parts = synth.sample(bank, batch, size, dev)
        yield (torch.cat(parts, 1) * 255).round().to(torch.uint8).cpu().numpy()


def main(kind, out, n, seed, size=None, spp=32):
    began, done, n = time.time(), [], int(n)
    with torch.no_grad():
        for part in batches(kind, n, int(seed), int(size or (224 if kind in PAINTED else 288)), int(spp), 'cuda' if torch.cuda.is_available() else 'cpu'):
            done.append(part)
    pictures = np.concatenate(done)[:n]
    np.save(out, pictures)
    print('%d pictures, %.0f s' % (len(pictures), time.time() - began))


if __name__ == '__main__':
    main(*sys.argv[1:])
