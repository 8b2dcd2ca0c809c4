"""Folds batch norm and writes weights.f32 (little-endian float32), layers.json and a test vector.

    python3 export.py FOLDER CHECKPOINT...

Several checkpoints (rounds of one training) are averaged with equal weight.
"""
import json
import os
import sys

import numpy as np
import torch
import torch.nn as nn
import torch.nn.functional as F

from net import CONFIGS, Folded, Net, Residual

NOTE = dict(
    input='RGB, sRGB-encoded 0..1, planes first; the network sees (x-0.5)*4',
    forward='stem (stride 2) -> enc0..enc3 (enc1..3 begin with a stride-2 block; blocks named residual add their input) keeping each f_i; x=f3; '
            'for i in 2,1,0: x=relu(f_i + nearest_upsample(lateral_i(x))); x=dec_i(x); head gives 4 planes at half size, pixel shuffle x2 -> '
            'logit of TILE coverage at full size; sigmoid',
    padding='zero, k//2', weights='out,in/groups,k,k row-major then bias, float32 little-endian, offsets count floats')


class Writer:
    def __init__(self):
        self.blob, self.layers, self.n = [], [], 0

    def put(self, a):
        at, flat = self.n, a.detach().cpu().numpy().astype('<f4').ravel()
        self.blob.append(flat)
        self.n += flat.size
        return at

    def layer(self, name, conv, bn, relu):
        w = conv.weight.double()
        b = conv.bias.double() if conv.bias is not None else torch.zeros(w.shape[0], dtype=torch.float64, device=w.device)
        if bn is not None:
            s = bn.weight.double() / torch.sqrt(bn.running_var.double() + bn.eps)
            w, b = w * s.view(-1, 1, 1, 1), (b - bn.running_mean.double()) * s + bn.bias.double()
        self.layers.append(dict(name=name, out=w.shape[0], inp=conv.in_channels, k=conv.kernel_size[0], stride=conv.stride[0], groups=conv.groups,
                                relu=relu, weight_at=self.put(w), bias_at=self.put(b)))

    def block(self, name, seq):
        convs = [i for i, m in enumerate(seq) if isinstance(m, nn.Conv2d)]
        for j, i in enumerate(convs):
            self.layer(f'{name}.{j}', seq[i], seq[i + 1], True)


def write(net, folder):
    """net in eval mode -> files in folder; checks that the folded net gives the same coverage"""
    out = Writer()
    out.block('stem', net.stem)
    for i, e in enumerate(net.e):
        for j, b in enumerate(e):
            residual = isinstance(b, Residual)
            out.block(f'enc{i}.block{j}' + ('.residual' if residual else ''), b.m if residual else b)
    for i, l in enumerate(net.l):
        out.layer(f'lateral{i}', l[0], l[1], False)
    for i, d in enumerate(net.d):
        for j, b in enumerate(d):
            out.block(f'dec{i}.block{j}.residual', b.m)
    out.layer('head', net.head, None, False)
    os.makedirs(folder, exist_ok=True)
    np.concatenate(out.blob).tofile(folder + '/weights.f32')
    with open(folder + '/layers.json', 'w') as f:
        json.dump(dict(NOTE, floats=out.n, layers=out.layers), f, indent=1)
    x = torch.from_numpy(np.random.default_rng(5).random((1, 3, 64, 48), dtype=np.float32))
    x = F.avg_pool2d(x, 3, 1, 1)
    with torch.no_grad():
        y = torch.sigmoid(Folded(folder)(x))
        own = torch.sigmoid(net(x.to(net.head.weight.device))).cpu()
    worst = (y - own).abs().max().item()
    if not worst < 5e-3:  # GPUs may round products to tf32; on a CPU this is about 1e-5
        raise SystemExit(f'export: folded net differs by {worst}')
    x.numpy()[0].astype('<f4').tofile(folder + '/vector-in-3x64x48.f32')
    y.numpy()[0, 0].astype('<f4').tofile(folder + '/vector-out-64x48.f32')


def average(files):
    """equal average of the (already averaged) weights of several checkpoints"""
    states = [torch.load(f, map_location='cpu')['ema'] for f in files]
    return {k: torch.stack([s[k] for s in states]).mean(0) if v.is_floating_point() else v for k, v in states[0].items()}


if __name__ == '__main__':
    net = Net(*CONFIGS[torch.load(sys.argv[2], map_location='cpu')['config']])
    net.load_state_dict(average(sys.argv[2:]))
    write(net.eval(), sys.argv[1])
