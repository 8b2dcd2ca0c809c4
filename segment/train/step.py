"""One training step: loss, optimiser, moving average of the weights; one CUDA graph where there is a GPU."""
import torch
import torch.nn as nn
import torch.nn.functional as F


DECAY = .999


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

    def __init__(self, net, batch, crop, dev, ema=None):
        self.net, self.dev = net, dev
        self.lr = torch.zeros((), device=dev)
        cuda = dev == 'cuda'
        decay = [p for p in net.parameters() if p.dim() > 1]
        rest = [p for p in net.parameters() if p.dim() <= 1]
        self.opt = torch.optim.AdamW([dict(params=decay, weight_decay=1e-3), dict(params=rest, weight_decay=0.)],
                                     lr=self.lr if cuda else 0., **(dict(capturable=True, fused=True) if cuda else {}))
        self.x = torch.rand(batch, 3, crop, crop, device=dev).contiguous(memory_format=torch.channels_last)
        self.y = torch.rand(batch, 1, crop, crop, device=dev)
        self.loss, self.graph = torch.zeros((), device=dev), None
        # moving average of weights and batch-norm statistics
        state = {k: v for k, v in net.state_dict().items() if v.is_floating_point()}
        self.names, self.tracked = list(state), list(state.values())
        self.ema = [(ema[k] if ema else v).detach().clone() for k, v in state.items()]
        if cuda:
            self.capture()

    def step(self):
        self.opt.zero_grad(set_to_none=True)
        if self.dev == 'cuda':
            with torch.autocast('cuda', torch.bfloat16, cache_enabled=False):
                z = self.net(self.x)
        else:
            z = self.net(self.x)
        l = loss_fn(z.float(), self.y)
        l.backward()
        nn.utils.clip_grad_norm_(self.net.parameters(), 1., **(dict(foreach=True) if self.dev == 'cuda' else {}))
        self.opt.step()
        self.loss.mul_(.98).add_(.02 * l.detach())
        for e, p in zip(self.ema, self.tracked):
            e.lerp_(p.detach(), 1 - DECAY)

    def averaged(self):
        s = {k: v.clone() for k, v in self.net.state_dict().items()}
        s.update({k: v.clone() for k, v in zip(self.names, self.ema)})
        return s

    def capture(self):
        """records the step as a CUDA graph; the warm-up's traces in weights and averages are undone"""
        kept = [v.clone() for v in self.net.state_dict().values()], [e.clone() for e in self.ema]
        side = torch.cuda.Stream()
        side.wait_stream(torch.cuda.current_stream())
        with torch.cuda.stream(side):
            for _ in range(3):
                self.step()
        torch.cuda.current_stream().wait_stream(side)
        self.graph = torch.cuda.CUDAGraph()
        with torch.cuda.graph(self.graph):
            self.step()
        for v, k in zip([*self.net.state_dict().values(), *self.ema], kept[0] + kept[1]):
            v.copy_(k)
        self.loss.zero_()

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
