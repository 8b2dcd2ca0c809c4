"""Trains the gap network on procedural photos only.

    python3 train.py --out DIR [--scenes DIR --real DIR] [--steps N | --seconds S] [--rounds N] [--resume FILE]

Pictures are drawn on the fly into a pool on the GPU (on a second GPU where there is one); every step takes a batch from the pool,
turns, flips, rescales and relights it. The pool is renewed all the time, so a picture is seen about seven times. A round is one
cosine of the learning rate; its moving average of weights is kept, and the average over the rounds is what is exported.
Scenes and scans, when given, are only scored for the log: nothing is trained on them or stopped by them.
"""
import argparse
import math
import os
import time

import torch

import evaluate
import export
from net import CONFIGS, Net, macs_per_pixel
from pool import Pool, Source
from step import Stepper

RATES = (3e-3, 2e-3)  # learning rate at the top of the first round, and of the later ones


def arguments():
    a = argparse.ArgumentParser()
    a.add_argument('--out', required=True)
    a.add_argument('--scenes')
    a.add_argument('--real')
    a.add_argument('--net', default='W')
    a.add_argument('--rounds', type=int, default=2)
    a.add_argument('--steps', type=int, default=23000, help='per round')
    a.add_argument('--seconds', type=float, default=0, help='end the round by the clock instead (counted from the start of the program)')
    a.add_argument('--resume', help='checkpoint of an earlier round to go on from')
    a.add_argument('--batch', type=int, default=48)
    a.add_argument('--crop', type=int, default=288)
    a.add_argument('--pool', type=int, default=24576)
    a.add_argument('--draw', type=int, default=128, help='pictures drawn at a time')
    a.add_argument('--every', type=int, default=19, help='training steps per draw where both share a GPU')
    a.add_argument('--size', type=int, default=352, help='side of the pool pictures')
    a.add_argument('--seed', type=int, default=1)
    a.add_argument('--score-every', type=float, default=180, help='seconds between checkpoints and scores')
    return a.parse_args()


class Training:
    def __init__(self, a):
        self.a, self.start = a, time.time()
        self.dev = dev = 'cuda' if torch.cuda.is_available() else 'cpu'
        torch.manual_seed(a.seed)
        if dev == 'cuda':
            torch.backends.cudnn.benchmark = True
            torch.set_float32_matmul_precision('high')
        os.makedirs(a.out, exist_ok=True)
        self.net = Net(*CONFIGS[a.net]).to(dev)
        if dev == 'cuda':
            self.net = self.net.to(memory_format=torch.channels_last)
        print(a.net, 'weights', sum(p.numel() for p in self.net.parameters()), 'multiply-adds per pixel', round(macs_per_pixel(self.net)), flush=True)
        state = torch.load(a.resume, map_location=dev) if a.resume else None
        if state:
            self.net.load_state_dict(state['net'])
        self.stepper = Stepper(self.net, a.batch, a.crop, dev, state['ema'] if state else None)
        self.judge = Net(*CONFIGS[a.net]).to(dev).eval()
        self.fill()
        torch.backends.cudnn.benchmark = False   # from here on only scoring meets new sizes
        self.steps, self.drawn, self.done = 0, 0, 1 if state else 0
        print('ready after %.0f s' % (time.time() - self.start), flush=True)

    def fill(self):
        """a first pool of pictures"""
        a, dev = self.a, self.dev
        self.source = Source(a.draw, a.size, 'cuda:1' if dev == 'cuda' and torch.cuda.device_count() > 1 else dev, a.seed)
        self.pool = Pool(a.pool, a.size, dev)
        for _ in range(max(1, min(a.pool, 1536) // a.draw)):
            self.source.start()
            self.source.wait()
            self.pool.put(self.source.out)
        if self.source.apart:
            self.source.start()
        self.side = torch.cuda.Stream(0) if self.source.apart else None

    def feed(self):
        """takes new pictures into the pool: whenever they are ready from the other GPU, or every so many steps"""
        if self.source.apart and self.source.ready():
            with torch.cuda.stream(self.side):   # off the training stream, so that neither GPU waits for the other
                self.pool.put(self.source.out)
            self.drawn += self.a.draw
            self.source.start()
        elif not self.source.apart and self.steps % self.a.every == 0:
            self.source.start()
            self.pool.put(self.source.out)
            self.drawn += self.a.draw

    def save(self, name, final=False):
        a, ema = self.a, self.stepper.averaged()
        torch.save(dict(net=self.net.state_dict(), ema=ema, steps=self.steps, config=a.net), f'{a.out}/{name}')
        self.judge.load_state_dict(ema)
        line = '%d steps, %d pictures, %.0f s, loss %.4f' % (self.steps, self.drawn, time.time() - self.start, self.stepper.loss.item())
        print(line, self.score(final), flush=True)

    def score(self, final):
        with torch.no_grad():
            if not self.a.scenes:
                return ''
            scenes = evaluate.score_scenes(self.judge, self.a.scenes, self.dev)
            if not final:
                return '| ' + evaluate.summary(scenes)
            return '\n' + evaluate.table(scenes, evaluate.score_real(self.judge, self.a.real, self.dev) if self.a.real else ())

    def round(self):
        a, top = self.a, RATES[min(self.done, 1)]
        first, began, last, queue = self.steps, time.time(), time.time(), []
        while True:
            frac = (time.time() - began) / (a.seconds - (began - self.start)) if a.seconds else (self.steps - first) / a.steps
            if frac >= 1:
                break
            rate = top * min(1, (self.steps - first) / 300) * (.5 + .5 * math.cos(math.pi * frac)) + 1e-5
            with torch.no_grad():
                self.feed()
                im, al = self.pool.batch(a.batch, a.crop)
            self.stepper.run(im, al, rate)
            self.steps += 1
            if self.dev == 'cuda':   # never run more than three steps ahead of the GPU
                queue.append(torch.cuda.Event())
                queue[-1].record()
                if len(queue) > 3:
                    queue.pop(0).synchronize()
            if time.time() - last > a.score_every:
                self.save('checkpoint.pt')
                last = time.time()
        self.done += 1
        self.save(f'round{self.done}.pt', final=True)


def main():
    a = arguments()
    t = Training(a)
    files = [a.resume] if a.resume else []
    for _ in range(1 if a.seconds else a.rounds):
        t.round()
        files.append(f'{a.out}/round{t.done}.pt')
    t.judge.load_state_dict(export.average(files))
    export.write(t.judge, a.out)
    print('average of %d rounds' % len(files), t.score(True), flush=True)


if __name__ == '__main__':
    main()
