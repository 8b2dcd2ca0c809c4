"""Tunes the last level of a trained net on path-traced pictures, mixed with drawn ones so that nothing is forgotten. On a CPU.

    python3 dataset.py plain A.npy 172 1; python3 dataset.py painted B.npy 96 2; python3 dataset.py drawn C.npy 320 3
    python3 tune.py --out OUT --start round1.pt --plain A.npy --painted B.npy --drawn C.npy

The rest and the norms' statistics stay as they are: a few hundred pictures can tell where an edge lies, not what a tile is. Every fifth picture of
each kind is held out, and scored in the log.
"""
import argparse
import math
import os
import time

import numpy as np
import torch
import torch.nn.functional as F

import evidence
import export
import offsets
from evaluate import predict
from net import CONFIGS, Net
from pool import Pool
from step import loss_fn

CROPS = dict(plain=2, painted=2, drawn=3)
EVERY = 5    # one picture in so many is held out
DECAY = .96  # of the moving average, whose weights are exported


def arguments():
    a = argparse.ArgumentParser()
    a.add_argument('--out', required=True)
    a.add_argument('--start', required=True, help='checkpoint of train.py')
    for kind, crops in CROPS.items():
        a.add_argument('--' + kind, required=True, help='file of dataset.py, %d crops per step' % crops)
    a.add_argument('--steps', type=int, default=130)
    a.add_argument('--rate', type=float, default=1e-3)
    a.add_argument('--crop', type=int, default=192)
    a.add_argument('--seed', type=int, default=1)
    a.add_argument('--report', type=int, default=65)
    return a.parse_args()


def pool_of(pictures):
    """a pool of the pictures that aren't held out; the bed's colour is read away from the tiles where there is room, as on a sheet"""
    kept = pictures[[i for i in range(len(pictures)) if i % EVERY != EVERY - 1]]
    pool = Pool(len(kept), kept.shape[-1], 'cpu')
    pool.put(kept)
    pool.bed = sheet_colour(kept)
    return pool


def sheet_colour(pictures):
    im, bare = pictures[:, :3].float() / 255, (pictures[:, 4:5] > 127).float()
    near, far = [evidence.open_bed(im, m[:, 0] > .5) for m in (bare, 1 - F.max_pool2d(1 - bare, 15, 1, 7))]
    return torch.where(far[:, 3:] > 0, far, near)


class Last:
    """The last level of a net, which learns. What comes before it runs without gradients."""

    def __init__(self, net):
        self.net = net
        self.parameters = [p.requires_grad_(True) for m in (net.l[0], net.d[0], net.head) for p in m.parameters()]

    def __call__(self, x):
        net, f = self.net, []
        add = lambda i, x: F.relu(f[i] + F.interpolate(net.l[i](x), scale_factor=2, mode='nearest'))
        with torch.no_grad():
            x = net.stem(torch.cat([(x[:, :3] - .5) * 4, x[:, 3:]], 1))
            for e in net.e:
                x = e(x)
                f.append(x)
            for i in (2, 1):
                x = net.d[i](add(i, x))
        return F.pixel_shuffle(net.head(net.d[0](add(0, x))), 2)


def report(net, kinds, head):
    print(head)
    for name, pictures in kinds.items():
        held_out(net, pictures[EVERY - 1::EVERY], name)


def held_out(net, pictures, name):
    beds = sheet_colour(pictures)
    for given in ('none', 'bed'):
        rows = []
        for p, bed in zip(pictures, beds):
            im = p[:3].float() / 255
            told = bed[:3, None, None].expand_as(im) if given == 'bed' and bed[3] > 0 else None
            with torch.no_grad():
                rows.append((im.numpy(), p[3].numpy() / 255., predict(net, im, bed=told)))
        print(offsets.line(rows, '%s, %s' % (name, given)), flush=True)


def prepare(a):
    """-> the net that learns, and another for its moving average; norms of both use the statistics of the checkpoint"""
    state = torch.load(a.start, map_location='cpu')
    nets = [Net(*CONFIGS[state['config']]) for _ in range(2)]
    for net in nets:
        net.load_state_dict(state['ema'])
        net.eval().requires_grad_(False)
    return state['config'], *nets


def main():
    a, began, running = arguments(), time.time(), None
    torch.manual_seed(a.seed)
    os.makedirs(a.out, exist_ok=True)
    config, net, mean = prepare(a)
    kinds = {k: torch.from_numpy(np.load(getattr(a, k))) for k in CROPS}
    pools = {k: pool_of(v) for k, v in kinds.items()}
    last = Last(net)
    opt = torch.optim.Adam(last.parameters)
    for step in range(a.steps):
        if step % a.report == 0:
            report(mean, kinds, '%4.0f s, %d steps, loss %s' % (time.time() - began, step, running))
        with torch.no_grad():
            parts = [pools[k].batch(n, a.crop) for k, n in CROPS.items()]
            x, al = (torch.cat([p[i] for p in parts]) for i in (0, 1))
        opt.param_groups[0]['lr'] = a.rate * min(1, (step + 1) / 30) * (.5 + .5 * math.cos(math.pi * step / a.steps)) + 1e-6
        opt.zero_grad()
        loss = loss_fn(last(x), al)
        loss.backward()
        torch.nn.utils.clip_grad_norm_(last.parameters, 1.)
        opt.step()
        running = loss.item() if running is None else .98 * running + .02 * loss.item()
        with torch.no_grad():
            for m, v in zip(mean.parameters(), net.parameters()):
                m.lerp_(v, 1 - DECAY)
    report(mean, kinds, '%4.0f s, %d steps, loss %s' % (time.time() - began, a.steps, running))
    torch.save(dict(ema=mean.state_dict(), config=config), a.out + '/tuned.pt')
    export.write(mean, a.out)


if __name__ == '__main__':
    main()
