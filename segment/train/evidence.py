"""The network's input planes: the picture, and what else is known of it.

Each kind of evidence comes with a plane that says whether it is given; all its planes are 0 where it isn't.

    0..2    the picture, sRGB-encoded, (v - .5) * 4
    3..5    the picture less the open bed's colour in the same light, * 4
    6       1: the bed's colour is given
    7..9    a second photo, laid over the first and brought to its exposure, less the first, * 4
    10      1: a second photo is given
    11..13  the picture less the nearest of the colours that strokes showed to be tile, * 4
    14      1: such colours are given
    15      1 where a stroke says tile, -1 where one says gap
"""
import torch
import torch.nn.functional as F

from noise import read

PLANES = 16
BED, SECOND, TOLD, PAINTED = slice(3, 7), slice(7, 11), slice(11, 15), slice(15, 16)
DABS, COLOURS = 6, 6   # at most so many dabs of either kind, and so many colours read from each dab on a tile


def open_bed(im, bare):
    """[B, 3, H, W] in 0..1 and a mask of bed with nothing on it -> the mean colour of its well lit part, and 1 where there is enough of it"""
    lum = im.mean(1)
    v = torch.where(bare, lum, torch.full_like(lum, float('nan'))).flatten(1)[:, ::3]
    lo, hi = torch.nanquantile(v, .6, 1), torch.nanquantile(v, .92, 1)
    pick = (bare & (lum >= lo[:, None, None]) & (lum <= hi[:, None, None])).float()[:, None]
    n = pick.sum((1, 2, 3))
    c = (im * pick).sum((2, 3)) / n.clamp(min=1)[:, None]
    return torch.cat([c, (n > 60).float()[:, None]], 1).nan_to_num(0)


def rand(n, dev):
    return torch.rand(n, 1, 1, 1, device=dev)


def against(im, colour, known):
    """the difference from a colour, and the plane that says that it is given"""
    return torch.cat([(im - colour) * 4 * known, known + 0 * im[:, :1]], 1)


def with_bed(im, ref, gain, dabbed):
    """The bed's colour as the program reads it off open sheet, or off a red dab (`dabbed`, [B, 4]: colour, given): roughly right, under light
    that changes over the picture, now and then quite wrong, often not known."""
    n, dev = len(im), im.device
    u, n1 = rand(n, dev), lambda sd: torch.randn(n, 1, 1, 1, device=dev) * sd
    line = torch.linspace(-.5, .5, im.shape[-1], device=dev)
    slope = torch.exp(n1(.06) * line.view(1, 1, 1, -1) + n1(.06) * line.view(1, 1, -1, 1))
    c = ref[:, :3, None, None] * gain * torch.exp(n1(.11) + torch.randn(n, 3, 1, 1, device=dev) * .015) * slope
    c = torch.where(u < .03, torch.rand(n, 3, 1, 1, device=dev), c)
    known = ((u < .5) & (ref[:, 3, None, None, None] > 0)).float()
    by_hand = dabbed[:, 3, None, None, None]
    c = torch.where((known == 0) & (by_hand > 0), dabbed[:, :3, None, None] * slope, c)
    return against(im, c.clamp(0, 1), torch.maximum(known, by_hand))


def with_second(im, two):
    """A second photo for half of the pictures, where there is one at all"""
    given = (rand(len(im), im.device) < .5).float() * ((two - im).abs().mean((1, 2, 3), keepdim=True) > .004).float()
    return torch.cat([(two - im) * 4 * given, given + 0 * im[:, :1]], 1)


def dabs(where, count, n, radius):
    """`count` [B] discs in a mask [B, 1, H, W]: centres picked at random in it -> (centres [B, DABS, 2], which are painted [B, DABS], mask)"""
    b, _, h, w = where.shape
    few = where[:, 0, ::3, ::3].reshape(b, -1)
    at = torch.multinomial(few + 1e-7, n, replacement=True)
    wide = (w + 2) // 3
    centre = torch.stack([(at % wide) * 3, torch.div(at, wide, rounding_mode='floor') * 3], -1).float()
    on = (torch.arange(n, device=where.device)[None] < count[:, None]) & (torch.gather(few, 1, at) > 0)
    yy, xx = torch.meshgrid(torch.arange(h, device=where.device), torch.arange(w, device=where.device), indexing='ij')
    mask = torch.zeros_like(where)
    for k in range(n):
        d2 = (xx[None] - centre[:, k, 0, None, None]) ** 2 + (yy[None] - centre[:, k, 1, None, None]) ** 2
        mask = torch.maximum(mask, ((d2 <= radius[:, None, None] ** 2) & on[:, k, None, None]).float()[:, None])
    return centre, on, mask


def with_strokes(im, al):
    """Dabs as a person would paint them on the first two fifths of the pictures -> (planes TOLD and PAINTED, the colour under dabs on gaps [B, 4])"""
    b = len(im)
    k = (2 * b + 4) // 5
    planes, bed = dabbed(im[:k], al[:k])
    rest = lambda t: torch.cat([t, t.new_zeros(b - k, *t.shape[1:])])
    return rest(planes), rest(bed)


def dabbed(im, al):
    b, dev = len(im), im.device
    count = lambda p: torch.where(torch.rand(b, device=dev) < p, torch.randint(1, DABS + 1, (b,), device=dev), torch.zeros(b, dtype=torch.long, device=dev))
    radius = torch.exp(torch.rand(b, device=dev) * 1.6 + .7)   # 2 to 10 px
    # a person dabs where the network goes wrong: on pattern first
    pattern = (im - F.avg_pool2d(im, 15, 1, 7)).abs().mean(1, keepdim=True)
    centre, on, tile = dabs((al > .97).float() * (.01 + pattern), count(.85), DABS, radius)
    _, _, gap = dabs((al < .03).float(), count(.6), DABS, radius)
    tile, gap = tile * (al > .5), gap * (al < .5)
    # colours at places inside the dabs; a place that misses the tile repeats the dab's centre
    turn, far = torch.rand(b, DABS, COLOURS, device=dev) * 6.2832, torch.rand(b, DABS, COLOURS, device=dev).sqrt() * radius[:, None, None]
    far[..., 0] = 0
    x, y = centre[..., :1] + far * turn.cos(), centre[..., 1:] + far * turn.sin()
    got = read(torch.cat([im, al], 1), x, y, mode='nearest')
    colours = torch.where((got[:, 3:] > .9), got[:, :3], got[:, :3, :, :1]).reshape(b, 3, -1)
    use = (on[..., None].expand(-1, -1, COLOURS)).reshape(b, -1)
    told = nearest(im, colours, use)
    known = on.any(1).float()[:, None, None, None]
    bed = (im * gap).sum((2, 3)) / gap.sum((2, 3)).clamp(min=1)
    return torch.cat([told * 4 * known, known + 0 * al, tile - gap], 1), torch.cat([bed, (gap.sum((2, 3)) > 0).float()], 1)


def nearest(im, colours, use):
    """the picture less the nearest of some colours [B, 3, K], of those that are in use [B, K]"""
    best, told = torch.full_like(im[:, :1], 9.), torch.zeros_like(im)
    for k in range(colours.shape[-1]):
        d = im - colours[:, :, k, None, None]
        s = torch.where(use[:, k, None, None, None], d.abs().sum(1, keepdim=True), torch.full_like(best, 10.))
        told = torch.where(s < best, d, told)
        best = torch.minimum(best, s)
    return told
