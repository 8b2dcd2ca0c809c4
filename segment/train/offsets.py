"""Which way edges lean: the signed distance from the true edge to the drawn one, by the contrast of face and bed."""
import cv2
import numpy as np

BINS = (-1, -.35, -.1, .1, .35, 1)   # sRGB luminance of the face less that of the bed


def signed(coverage):
    """distance to the line of half coverage, > 0 inside tiles, to a fraction of a pixel"""
    fine = cv2.resize(coverage.astype('f4'), None, fx=2, fy=2, interpolation=cv2.INTER_CUBIC) > .5
    a, b = (cv2.distanceTransform(m.astype('u1'), cv2.DIST_L2, 5) for m in (fine, ~fine))
    return cv2.resize(a - b, coverage.shape[::-1], interpolation=cv2.INTER_AREA) / 2


def offsets(image, truth, guess):
    """per pixel of the drawn edge: contrast, and how far it lies outside the true tile (errors beyond 2 px are other errors)"""
    t, g = signed(truth), signed(guess)
    lum = np.tensordot(np.float32([.21, .72, .07]), image.astype('f4'), 1)
    near = lambda m: cv2.blur(m.astype('f4'), (11, 11))
    face, bed = g > 1.5, g < -1.5
    contrast = near(lum * face) / np.maximum(near(face), 1e-4) - near(lum * bed) / np.maximum(near(bed), 1e-4)
    ok = (np.abs(g) < .75) & (near(face) > .05) & (near(bed) > .05) & (np.abs(g - t) < 2)
    return contrast[ok], (g - t)[ok]


def line(rows, name):
    """rows of (picture [3, H, W] in 0..1, truth, guess) -> one line of text"""
    c, d = (np.concatenate(v) for v in zip(*(offsets(*r) for r in rows)))
    gaps = [((t < .5), (p < .5)) for _, t, p in rows if (t < .5).mean() > .02]
    iou = np.mean([(g & q).sum() / max(1, (g | q).sum()) for g, q in gaps])
    lean = ['%+.3f' % d[(c >= lo) & (c < hi)].mean() if ((c >= lo) & (c < hi)).any() else '-' for lo, hi in zip(BINS, BINS[1:])]
    return '  %-14s IoU %.4f  offset rms %.3f, dark on pale ... pale on dark %s' % (name, iou, np.sqrt((d ** 2).mean()), ' '.join(lean))
