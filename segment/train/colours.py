"""CIE Lab to linear RGB."""
import torch


def lab_rgb(L, a, b):
    """CIE Lab (D65) to linear sRGB, clipped to what a surface can reflect"""
    fy = (L + 16) / 116
    f = lambda t: torch.where(t > 6 / 29, t ** 3, 3 * (6 / 29) ** 2 * (t - 4 / 29))
    X, Y, Z = .95047 * f(fy + a / 500), f(fy), 1.08883 * f(fy - b / 200)
    return torch.stack([3.2404542 * X - 1.5371385 * Y - .4985314 * Z, -.969266 * X + 1.8760108 * Y + .041556 * Z,
                        .0556434 * X - .2040259 * Y + 1.0572252 * Z], -1).clamp(.003, .95)
