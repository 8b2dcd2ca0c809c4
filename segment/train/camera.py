"""From linear radiance to what a phone stores: exposure, blur, noise, noise reduction, tone curve, sharpening halo, JPEG."""
import math

import torch
import torch.nn.functional as F

from noise import constant, gauss


def col(v):
    """[B, 1, 1] -> [B, 1, 1, 1]"""
    return v[:, None]


def encode(x):
    return torch.where(x <= .0031308, x * 12.92, 1.055 * x.clamp(min=1e-6) ** (1 / 2.4) - .055)


def mix_blur(im, lo, hi, r):
    """Gaussian blur with its own sigma per picture (between lo and hi), as a mix of two blurs"""
    t = col(r.u())
    return gauss(im, lo) * (1 - t) + gauss(im, hi) * t


def expose(rad, r, xx, yy):
    """Uneven light, white balance error, auto exposure with its mistakes (blown faces included)."""
    field = torch.exp((xx * r.n(.3) + yy * r.n(.3)) - r.u(0, .5) * (xx * xx + yy * yy))
    # a soft-edged shadow of a hand or a window frame across everything
    t = r.u(0, 2 * math.pi)
    side = torch.sigmoid(((xx - r.u(-.4, .4)) * t.cos() + (yy - r.u(-.4, .4)) * t.sin()) / r.log(.006, .15))
    field = field * (1 - r.chance(.12) * r.u(.25, .7) * side)
    tint = torch.exp(torch.randn(rad.shape[0], 3, 1, 1, device=rad.device) * .09)
    rad = rad * col(field) * tint
    ref = F.avg_pool2d(rad.mean(1, keepdim=True), 12).amax((1, 2, 3), keepdim=True)  # the brightest small area
    return rad / ref.clamp(min=1e-3) * col(r.log(.3, 1.35))


LUM = ((16, 11, 10, 16, 24, 40, 51, 61), (12, 12, 14, 19, 26, 58, 60, 55), (14, 13, 16, 24, 40, 57, 69, 56), (14, 17, 22, 29, 51, 87, 80, 62),
       (18, 22, 37, 56, 68, 109, 103, 77), (24, 35, 55, 64, 81, 104, 113, 92), (49, 64, 78, 87, 103, 121, 120, 101), (72, 92, 95, 98, 112, 100, 103, 99))
DCT = tuple(tuple(math.cos(math.pi * (2 * n + 1) * k / 16) * (.5 if k else .5 / math.sqrt(2)) for n in range(8)) for k in range(8))
YCC = ((.299, .587, .114), (-.168736, -.331264, .5), (.5, -.418688, -.081312))
RGB = ((1., 0., 1.402), (1., -.344136, -.714136), (1., 1.772, 0.))


def jpeg(im, quality):
    """8x8 DCT quantisation (the standard's example tables) with halved chroma; quality [B, 1, 1, 1] in 30..97"""
    dev = im.device
    D, lum = constant(DCT, dev), constant(LUM, dev) / 255
    chroma = (lum * 1.3).clamp(17 / 255., 99 / 255.)
    scale = torch.where(quality < 50, 50 / quality, 2 - quality / 50)[:, :, :, :, None, None]
    ycc = torch.einsum('ij,bjhw->bihw', constant(YCC, dev), im)

    def squeeze(x, q):
        b, c, h, w = x.shape
        z = x.view(b, c, h // 8, 8, w // 8, 8).permute(0, 1, 2, 4, 3, 5)
        z = D @ z @ D.t()
        q = (q * scale).clamp(min=1 / 255.)
        z = D.t() @ (torch.round(z / q) * q) @ D
        return z.permute(0, 1, 2, 4, 3, 5).reshape(b, c, h, w)
    y = squeeze(ycc[:, :1] - .5, lum) + .5
    c = squeeze(F.avg_pool2d(ycc[:, 1:], 2), chroma)
    c = F.interpolate(c, scale_factor=2, mode='bilinear', align_corners=False)
    return torch.einsum('ij,bjhw->bihw', constant(RGB, dev), torch.cat([y, c], 1))


def photo(rad, r, crop):
    """[B, 3, R, R] linear -> [B, 3, crop, crop] encoded 0..1"""
    b, _, R, _ = rad.shape
    dev = rad.device
    line = torch.linspace(-.5, .5, R, device=dev)
    yy, xx = torch.meshgrid(line, line, indexing='ij')
    im = expose(rad, r, xx[None], yy[None])
    bloom = col(r.chance(.3) * r.u(.01, .08))
    im = im * (1 - bloom) + bloom * gauss(im.clamp(max=4), 6.)
    im = mix_blur(im.clamp(0, 6), .3, 1.1, r)
    o = (R - crop) // 2
    im = im[:, :, o:o + crop, o:o + crop].clamp(0, 1)
    # shot and read noise, sometimes smeared by demosaicing, coarser in chroma
    amt = col(r.u() ** 2)
    n = torch.randn_like(im) * (im.clamp(min=0).sqrt() * .018 + .006) * amt
    n = torch.where(col(r.chance(.5)) > 0, gauss(n, .7) * 2., n)
    im = encode((im + n).clamp(0, 1))
    cv = col(r.u(-.1, .5))
    im = im + cv * (im * im * (3 - 2 * im) - im)
    sat = col(r.u(.75, 1.35))
    grey = im.mean(1, keepdim=True)
    im = grey + (im - grey) * sat * (1 - col(r.chance(.06)))
    # noise reduction: smooths where contrast is low
    g = gauss(im, 1.3)
    keep = ((im - g).abs().amax(1, keepdim=True) / .04).clamp(0, 1)
    im = im + col(r.chance(.4) * r.u(.3, 1)) * (1 - keep) * (g - im)
    # sharpening with halo, narrow or wide
    im = im + col(r.chance(.75) * r.u(0, 1.)) * (im - gauss(im, .9)) + col(r.chance(.25) * r.u(0, .6)) * (im - gauss(im, 2.2))
    im = im.clamp(0, 1)
    q = col(torch.where(r.chance(.3) > 0, r.u(40, 80), r.u(80, 97)))
    return jpeg(im, q).clamp(0, 1)
