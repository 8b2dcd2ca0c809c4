"""Trains the gap network on procedural photos only.

    python3 train.py --out DIR [--scenes DIR --real DIR] [--steps N | --seconds S] [--resume FILE]

Pictures are drawn on the fly into a pool on the GPU; every step takes a batch from the pool, turns, flips, rescales and relights
it. The pool is renewed all the time, so a picture is seen only a few times. Weights are averaged (EMA); the average is exported.
Scenes and scans, when given, are only scored now and then for the log: nothing is chosen by them.
"""
import argparse
import contextlib
import math
import os
import time

import torch
import torch.nn.functional as F

import evaluate
import export
import synth
from net import CONFIGS, Net, macs_per_pixel
from noise import Bank, read


def arguments():
    a = argparse.ArgumentParser()
    a.add_argument('--out', required=True)
    a.add_argument('--scenes')
    a.add_argument('--real')
    a.add_argument('--net', default='W')
    a.add_argument('--steps', type=int, default=40000)
    a.add_argument('--seconds', type=float, default=0, help='stop by the clock instead of --steps; the learning rate follows the clock')
    a.add_argument('--resume', help='checkpoint to go on from')
    a.add_argument('--lr', type=float, default=3e-3)
    a.add_argument('--batch', type=int, default=48)
    a.add_argument('--crop', type=int, default=288)
    a.add_argument('--pool', type=int, default=24576)
    a.add_argument('--draw', type=int, default=64, help='pictures drawn at a time')
    a.add_argument('--every', type=int, default=6, help='training steps per draw')
    a.add_argument('--size', type=int, default=352, help='side of the pool pictures')
    a.add_argument('--seed', type=int, default=1)
    a.add_argument('--score-every', type=float, default=120, help='seconds between checkpoints and scores')
    return a.parse_args()


class Source:
    """Draws pictures, as one CUDA graph on a GPU of its own where there are two: `ready` never blocks there."""

    def __init__(self, batch, size, dev, seed):
        self.dev, self.batch, self.size = dev, batch, size
        self.apart = dev == 'cuda:1'
        self.graph = self.event = None
        with torch.no_grad(), self.on():
            if 'cuda' in dev:
                torch.cuda.manual_seed(seed)
            self.bank = Bank(dev)
            self.out = self.draw()
            if 'cuda' in dev:
                self.capture()

    def on(self):
        return torch.cuda.device(self.dev) if 'cuda' in self.dev else contextlib.nullcontext()

    def draw(self):
        im, al = synth.sample(self.bank, self.batch, self.size, self.dev)
        return (torch.cat([im, al], 1) * 255).round().to(torch.uint8)

    def capture(self):
        torch.cuda.synchronize()
        torch.cuda.empty_cache()
        try:
            g = torch.cuda.CUDAGraph()
            with torch.cuda.graph(g, stream=torch.cuda.Stream(self.dev)):
                self.out = self.draw()
            self.graph = g
        except Exception as e:  # slower, not wrong
            print('no graph for the generator:', repr(e)[:300], flush=True)
            torch.cuda.synchronize()

    def start(self):
        with torch.no_grad(), self.on():
            if self.graph is not None:
                self.graph.replay()
            else:
                self.out = self.draw()
            if self.apart:
                self.event = torch.cuda.Event()
                self.event.record()

    def ready(self):
        return self.event is None or self.event.query()


class Pool:
    """A ring of pictures (uint8) with their coverage as a fourth plane."""

    def __init__(self, n, size, dev):
        self.data = torch.empty(n, 4, size, size, dtype=torch.uint8, device=dev)
        self.at = self.filled = 0

    def put(self, x):
        x = x.to(self.data.device)
        n = self.data.shape[0]
        i = (torch.arange(len(x), device=x.device) + self.at) % n
        self.data[i] = x
        self.at = (self.at + len(x)) % n
        self.filled = min(n, self.filled + len(x))

    def batch(self, n, crop):
        """n random crops at random scale (half of them 1:1), flipped, turned and relit; -> picture, coverage"""
        dev, size = self.data.device, self.data.shape[-1]
        x = self.data[torch.randint(self.filled, (n,), device=dev)].float() / 255
        one = torch.rand(n, 1, 1, device=dev) < .5
        scale = torch.where(one, torch.ones(n, 1, 1, device=dev), torch.exp(torch.rand(n, 1, 1, device=dev) * .55 - .2).clamp(min=crop / size))
        span = crop / scale
        o = [(torch.rand(n, 1, 1, device=dev) * (size - span)) for _ in range(2)]
        o = [torch.where(one, v.floor(), v) for v in o]
        line = torch.arange(crop, device=dev) + .5
        yy, xx = torch.meshgrid(line, line, indexing='ij')
        turn, fx, fy = (torch.rand(3, n, 1, 1, device=dev) < .5)
        u, v = torch.where(turn, yy, xx), torch.where(turn, xx, yy)
        u, v = torch.where(fx, crop - u, u), torch.where(fy, crop - v, v)
        x = read(x, o[0] + u / scale - .5, o[1] + v / scale - .5)
        im, al = x[:, :3], x[:, 3:]
        gain = torch.exp(torch.randn(n, 1, 1, 1, device=dev) * .12) * torch.exp(torch.randn(n, 3, 1, 1, device=dev) * .04)
        im = (im * gain + torch.randn_like(im) * torch.rand(n, 1, 1, 1, device=dev) ** 3 * .02).clamp(0, 1)
        return im, al


def loss_fn(z, al):
    """cross entropy weighted towards edges and gaps + soft gap IoU + |coverage error| near edges"""
    mean7 = lambda a: F.avg_pool2d(a, 7, 1, 3)
    p = torch.sigmoid(z)
    edge = (mean7(al) - al).abs()
    w = 1 + 6 * edge + (1 - al)
    bce = (F.binary_cross_entropy_with_logits(z, al, reduction='none') * w).sum() / w.sum()
    g, q = 1 - al, 1 - p
    iou = ((g * q).sum((1, 2, 3)) + 50) / ((g + q - g * q).sum((1, 2, 3)) + 50)
    band = (edge > .02).float()
    l1 = ((p - al).abs() * band).sum() / (band.sum() + 100)
    return bce + .5 * (1 - iou).mean() + .5 * l1


class Stepper:
    """One training step, captured as a CUDA graph where there is a GPU."""

    def __init__(self, net, lr, batch, crop, dev, layout=torch.channels_last):
        self.net, self.dev = net, dev
        self.lr = torch.tensor(lr, device=dev)
        cuda = dev == 'cuda'
        decay = [p for p in net.parameters() if p.dim() > 1]
        rest = [p for p in net.parameters() if p.dim() <= 1]
        self.opt = torch.optim.AdamW([dict(params=decay, weight_decay=1e-3), dict(params=rest, weight_decay=0.)],
                                     lr=self.lr if cuda else lr, **(dict(capturable=True, fused=True) if cuda else {}))
        self.x = torch.rand(batch, 3, crop, crop, device=dev).contiguous(memory_format=layout)
        self.y = torch.rand(batch, 1, crop, crop, device=dev)
        self.loss, self.graph, self.ema = torch.zeros((), device=dev), None, None

    def step(self):
        self.opt.zero_grad(set_to_none=True)
        if self.dev == 'cuda':
            with torch.autocast('cuda', torch.bfloat16, cache_enabled=False):
                z = self.net(self.x)
        else:
            z = self.net(self.x)
        l = loss_fn(z.float(), self.y)
        l.backward()
        torch.nn.utils.clip_grad_norm_(self.net.parameters(), 1., foreach=True) if self.dev == 'cuda' else torch.nn.utils.clip_grad_norm_(self.net.parameters(), 1.)
        self.opt.step()
        self.loss.mul_(.98).add_(.02 * l.detach())
        if self.ema is not None:
            for e, p in zip(self.ema, self.tracked):
                e.lerp_(p.detach(), 1 - .999)

    def track(self, state=None):
        """starts the moving average of weights and batch-norm statistics"""
        self.tracked = [v for v in self.net.state_dict().values() if v.is_floating_point()]
        self.names = [k for k, v in self.net.state_dict().items() if v.is_floating_point()]
        self.ema = [v.detach().clone() for v in self.tracked] if state is None else [state[k].clone() for k in self.names]

    def averaged(self):
        s = {k: v.clone() for k, v in self.net.state_dict().items()}
        s.update({k: v.clone() for k, v in zip(self.names, self.ema)})
        return s

    def capture(self):
        side = torch.cuda.Stream()
        side.wait_stream(torch.cuda.current_stream())
        saved = {k: v.clone() for k, v in self.net.state_dict().items()}
        self.lr.zero_()
        with torch.cuda.stream(side):
            for _ in range(3):
                self.step()
        torch.cuda.current_stream().wait_stream(side)
        self.graph = torch.cuda.CUDAGraph()
        with torch.cuda.graph(self.graph):
            self.step()
        for k, v in self.net.state_dict().items():
            v.copy_(saved[k])

    def run(self, im, al, lr):
        self.x.copy_(im)
        self.y.copy_(al)
        if self.graph is not None:
            self.lr.fill_(lr)
            self.graph.replay()
            return
        for g in self.opt.param_groups:
            g['lr'] = lr
        self.step()


def main():
    a = arguments()
    dev = 'cuda' if torch.cuda.is_available() else 'cpu'
    torch.manual_seed(a.seed)
    if dev == 'cuda':
        torch.backends.cudnn.benchmark = True
        torch.set_float32_matmul_precision('high')
    os.makedirs(a.out, exist_ok=True)
    start = time.time()
    net = Net(*CONFIGS[a.net]).to(dev)
    if dev == 'cuda':
        net = net.to(memory_format=torch.channels_last)
    print(a.net, 'weights', sum(p.numel() for p in net.parameters()), 'multiply-adds per pixel', round(macs_per_pixel(net)), flush=True)
    state = torch.load(a.resume, map_location=dev) if a.resume else None
    if state:
        net.load_state_dict({k: v.float() if v.is_floating_point() else v for k, v in state['net'].items()})
    st = Stepper(net, a.lr, a.batch, a.crop, dev)
    st.track({k: v.float() for k, v in state['ema'].items()} if state else None)
    if dev == 'cuda':
        keep = [e.clone() for e in st.ema]
        st.capture()
        for e, k in zip(st.ema, keep):
            e.copy_(k)
        st.loss.zero_()
    source = Source(a.draw, a.size, 'cuda:1' if dev == 'cuda' and torch.cuda.device_count() > 1 else dev, a.seed)
    pool = Pool(a.pool, a.size, dev)
    for _ in range(max(1, min(a.pool, 1536) // a.draw)):
        source.start()
        if source.event:
            source.event.synchronize()
        pool.put(source.out)
    if source.apart:
        source.start()
    print('ready after %.0f s' % (time.time() - start), flush=True)
    judge = Net(*CONFIGS[a.net]).to(dev).eval()
    side = torch.cuda.Stream(0) if source.apart else None
    torch.backends.cudnn.benchmark = False   # from here on only scoring meets new sizes
    queue = []
    step, drawn, last, began = 0, 0, time.time(), time.time()

    def finish(final):
        judge.load_state_dict(st.averaged())
        torch.save(dict(net=net.state_dict(), ema=st.averaged(), step=step, config=a.net), a.out + '/checkpoint.pt')
        export.write(judge, a.out)
        line = '%d steps, %d pictures, %.0f s, loss %.4f' % (step, drawn, time.time() - start, st.loss.item())
        with torch.no_grad():
            if a.scenes:
                scenes = evaluate.score_scenes(judge, a.scenes, dev)
                real = evaluate.score_real(judge, a.real, dev) if a.real and final else ()
                line += ' | ' + (('\n' + evaluate.table(scenes, real)) if final else evaluate.summary(scenes))
        print(line, flush=True)

    while True:
        frac = (time.time() - began) / (a.seconds - (began - start)) if a.seconds else step / a.steps
        if frac >= 1:
            break
        lr = a.lr * min(1, step / 300) * (.5 + .5 * math.cos(math.pi * frac)) + 1e-5
        with torch.no_grad():
            if source.apart and source.ready():
                with torch.cuda.stream(side):   # off the training stream, so that neither GPU waits for the other
                    pool.put(source.out)
                drawn += a.draw
                source.start()
            elif not source.apart and step % a.every == 0:
                source.start()
                pool.put(source.out)
                drawn += a.draw
            im, al = pool.batch(a.batch, a.crop)
        st.run(im, al, lr)
        step += 1
        if dev == 'cuda':   # never run more than three steps ahead of the GPU
            queue.append(torch.cuda.Event())
            queue[-1].record()
            if len(queue) > 3:
                queue.pop(0).synchronize()
        if time.time() - last > a.score_every:
            finish(False)
            last = time.time()
    finish(True)


if __name__ == '__main__':
    main()
