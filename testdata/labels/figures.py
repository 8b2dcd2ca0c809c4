#!/usr/bin/python3
"""Makes the label maps of this folder and the figures that the tests of segment/score compare with.

  figures.py SCENES   cut truth-*.png and found-*.png from path-traced scenes (their ids.png, tiles_grout.png, photo)
  figures.py          read the maps and write figures.csv

Needs Debian 12's python3-skimage (0.19.3), python3-numpy (1.24.2), python3-scipy, python3-opencv (4.6.0).
"""
import sys, os, csv
import numpy as np, cv2
from scipy import ndimage as ndi
from skimage import filters, measure, segmentation, metrics
here = os.path.dirname(os.path.abspath(__file__))
# scene, photo, left and top of the cut, reduction (every n-th pixel of a map, area average of a photo)
CUTS = [('grid-whites', 'white', 300, 250, 4), ('crazy-earth', 'white', 260, 300, 2), ('rows-lemons', 'black', 420, 380, 2)]
W, H = 120, 90

def make(scenes):
    for name, bed, x, y, n in CUTS:
        cut = lambda f, flag: cv2.imread(f'{scenes}/{name}/{f}', flag)[y:y + n * H, x:x + n * W]
        truth = segmentation.relabel_sequential(cut('ids.png', -1)[::n, ::n])[0]
        grey = cv2.resize(cut(f'photo_{bed}.jpg', 0), (W, H), interpolation=cv2.INTER_AREA)
        tile = grey > filters.threshold_otsu(grey)
        if bed == 'white': tile = ~tile  # on white paper the darker side is tile
        otsu = measure.label(tile, connectivity=1)
        deep = ndi.distance_transform_edt(cv2.resize(cut('tiles_grout.png', 0), (W, H), interpolation=cv2.INTER_AREA) > 150)
        water = segmentation.watershed(-deep, measure.label(deep > 4), mask=deep > 1)
        for kind, m in (('truth', truth), ('otsu', otsu), ('water', water)):
            cv2.imwrite(f'{here}/{kind}-{name}.png', m.astype('u2'))

def edge(tile, panel):  # tile pixels next to gap, two pixels away from the panel's edge
    rim = cv2.erode(tile.astype('u1'), np.ones((3, 3), 'u1'), borderType=cv2.BORDER_REPLICATE)
    return (tile.astype('u1') > rim) & cv2.erode(panel.astype('u1'), np.ones((5, 5), 'u1')).astype(bool)
def near(m, r): return cv2.distanceTransform(1 - m.astype('u1'), cv2.DIST_L2, 5) <= r
def boundary_f1(gt, gf, panel, r=2):
    a, b = edge(panel & ~gt, panel), edge(panel & ~gf, panel)
    p, q = near(a, r)[b].mean(), near(b, r)[a].mean()
    return 2 * p * q / (p + q)
def tiles_f1(a, b):  # every true tile against every found one
    A, B = [a == k for k in np.unique(a) if k], [b == k for k in np.unique(b) if k]
    hits = sum((x & y).sum() / (x | y).sum() > .5 for x in A for y in B)
    return 2 * hits / (len(A) + len(B))

def figures():
    rows = []
    for name, *_ in CUTS:
        t = cv2.imread(f'{here}/truth-{name}.png', -1)
        for kind in 'otsu', 'water':
            f = cv2.imread(f'{here}/{kind}-{name}.png', -1)
            splits, merges = metrics.variation_of_information(t, f)
            panel = np.zeros(t.shape, bool); panel[6:80, 5:110] = True
            gt, gf = t == 0, f == 0
            rows.append([name, kind, t.max(), f.max(), splits, merges, metrics.adapted_rand_error(t, f)[0],
                         (gt & gf & panel).sum() / ((gt | gf) & panel).sum(), boundary_f1(gt, gf, panel), tiles_f1(t, f)])
    with open(f'{here}/figures.csv', 'w', newline='') as o:
        w = csv.writer(o, lineterminator='\n')
        w.writerow('scene found truth_tiles found_tiles splits merges rand_error gap_iou boundary_f1 tiles_f1'.split())
        w.writerows([[v if isinstance(v, str) else '%.15g' % v for v in r] for r in rows])

if len(sys.argv) > 1: make(sys.argv[1])
figures()
