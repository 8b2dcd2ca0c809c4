"""Solid tiles seen by a camera above them: perspective side walls, bevels, shadows, sky, bounce, gloss.

Tiles are prisms over the distance field `d` (pixels, > 0 on the tile, measured in the plane of the tops). Depth s counts
down from that plane; the bed lies at depth T. A pixel p sees, at depth s, the plan position p + s u(p), where u(p) = (p - centre) / D
is the tangent of its viewing angle: so walls that face the optical axis show, more of them the farther off the axis.
"""
import math

import torch
import torch.nn.functional as F

from noise import constant, gauss, look, read


def solids(lay, gap, mm, r, flat):
    """Heights per picture and tile (pixels): thickness, bevel, grout level, lippage, tilt."""
    thick = mm * torch.where(flat > 0, r.u(.15, 1.8), torch.where(r.chance(.12) > 0, r.u(1., 3.), r.log(3., 12.)))
    bev = torch.minimum(mm * torch.where(r.chance(.82) > 0, r.log(.1, .75), r.log(.75, 2.2)), thick * .6)
    wide = torch.minimum(bev * r.log(.6, 2.), gap * 1.2)
    level = torch.minimum(mm * r.u(.6, 1.05), thick)          # grout stands this far below the tops
    level = torch.where(flat > 0, thick, level)
    t = look(r.table(4), lay['id'])
    uneven = mm * (r.u(0, .35) + r.chance(.08) * (1 - flat) * r.u(.5, 2.))
    slope = r.chance(.6) * r.u(0, .05)
    lip = torch.minimum(uneven, level * torch.where(flat > 0, r.u(0, .3), r.u(.2, .6))) * t[..., 0] * t[..., 1]                      # depth of each tile's top below the highest
    sx, sy = slope * (t[..., 2] - .5), slope * (t[..., 3] - .5)  # tilt: felt by the light only
    return dict(thick=thick, bev=bev, wide=wide, level=level, lip=lip, tx=sx, ty=sy, round=r.chance(.65))


def inset(g, s):
    """how far the edge stands back at depth s below a tile's own top (a round or a straight bevel)"""
    h = (1 - s / g['bev']).clamp(0, 1)
    a = g['wide'] * torch.where(g['round'] > 0, 1 - torch.sqrt((1 - h * h).clamp(min=0)), h)
    return torch.where(s < 0, torch.full_like(a, 1e3), a)


def view(g, dist, u, px, py, level_steps=5, deep_steps=7):
    """Marches every pixel's ray down. Returns coverage of faces, of everything solid, of what grout will leave visible, and the depth hit."""
    field = torch.stack([dist, g['lip']], 1)
    top, bev, level, T = -9 + 0 * dist, g['bev'], g['level'], g['thick']
    shallow = [bev * f for f in (0., .3, .65, 1.)] + [level * f for f in (.33, .66, 1.)]
    deep = [level + (T - level) * (k + 1) / deep_steps for k in range(deep_steps)]
    face, grout, solid, prev_s, hit = top, top, top, 0 * dist, T + 0 * dist
    for s in shallow + deep:
        f = read(field, px + s * u[0], py + s * u[1])
        m = f[:, 0] - inset(g, s - f[:, 1])
        face = torch.where(s <= bev, torch.maximum(face, m), face)
        grout = torch.where(s <= level + 1e-4, torch.maximum(grout, m), grout)
        new = (m > 0) & (solid <= 0)
        hit = torch.where(new, torch.minimum(hit, prev_s + (s - prev_s) * (-solid / (m - solid).clamp(min=1e-3)).clamp(0, 1)), hit)
        solid = torch.maximum(solid, m)
        prev_s = s + 0 * dist
    cov = lambda m: (m + .5).clamp(0, 1)
    return cov(face), cov(solid), cov(grout), hit


def occlusion(g, field, x, y, s, light, soft, steps):
    """share of the light from direction `light` = (cos, sin, tan of elevation) that tiles block at plan position x, y, depth s"""
    c, sn, tan = light
    reach = torch.minimum(s / tan, 5 + 0 * s + 110)
    occ = torch.zeros_like(s)
    for k in range(1, steps + 1):
        t = reach * (k / steps) ** 1.4
        h = s - t * tan
        f = read(field, x + t * c, y + t * sn)
        width = .6 + soft * t
        m = torch.minimum(f[:, 0] - inset(g, (h - f[:, 1]).clamp(min=0)), (h - f[:, 1]) / (tan + .2) * 1.5 + .3 * width)
        occ = torch.maximum(occ, (m / width + .5).clamp(0, 1))
    return occ


def sky(g, dist, x, y, s, gap, wind, anis, normal, wall, azimuths=6):
    """Light of the surroundings: per azimuth the nearest tile's top hides the sky below its horizon. Returns (light, open share)."""
    total, seen, wtot = 0., 0., 0.
    for k in range(azimuths):
        a = 2 * math.pi * (k + .37) / azimuths
        ca, sa = math.cos(a), math.sin(a)
        tan = torch.zeros_like(s)
        for f in (.25, .6, 1.1, 2.):
            t = gap * f
            d = read(dist[:, None], x + t * ca, y + t * sa)[:, 0]
            tan = torch.maximum(tan, s / t * (d + .5).clamp(0, 1))
        open_up, sinh = 1 / (1 + tan * tan), tan / torch.sqrt(1 + tan * tan)
        rad = (1 + anis * torch.cos(a - wind)).clamp(min=.05)
        facing = (normal[0] * ca + normal[1] * sa).clamp(min=0)
        total = total + rad * ((1 - wall) * open_up + wall * facing * (1 - sinh) * 1.6)
        seen = seen + open_up
    return total / azimuths, seen / azimuths


def render(lay, dist, gap, mm, faces, ground, far_table, on_table, r, bank, flat):
    """-> (linear radiance [B, 3, R, R] in arbitrary exposure, label [B, R, R] = tile left visible by the grout, extras)"""
    b, R, _ = dist.shape
    dev = dist.device
    line = torch.arange(R, device=dev, dtype=torch.float32)
    py, px = torch.meshgrid(line, line, indexing='ij')
    px, py = px[None].expand(b, -1, -1), py[None].expand(b, -1, -1)
    g = solids(lay, gap, mm, r, flat)
    T = g['thick']
    # camera: optical axis anywhere in or beyond the crop, at D pixels above; plus a small tilt
    D = r.log(500, 3500)
    ang, off = r.u(0, 2 * math.pi), torch.sqrt(r.u(0, 1)) * r.u(.15, .6)
    u = [(px - R / 2) / D + off * ang.cos(), (py - R / 2) / D + off * ang.sin()]
    u = [v * (1 - flat * .9) for v in u]
    face, solid, label, hit = view(g, dist, u, px, py)
    # plan positions of the upper layer (faces and bevels) and the lower one (walls and bed)
    field = torch.stack([dist, g['lip']], 1)
    gx, gy = torch.zeros_like(dist), torch.zeros_like(dist)
    gx[:, :, 1:-1], gy[:, 1:-1] = (dist[:, :, 2:] - dist[:, :, :-2]) / 2, (dist[:, 2:] - dist[:, :-2]) / 2
    norm = torch.sqrt(gx * gx + gy * gy).clamp(min=.3)
    gx, gy = gx / norm, gy / norm
    lx, ly = px + hit * u[0], py + hit * u[1]
    low = read(torch.stack([gx, gy, dist], 1), lx, ly)
    wall = ((solid - face) / (1 - face).clamp(min=1e-3)).clamp(0, 1)
    wn = (-low[:, 0], -low[:, 1])                            # walls look out of the tile
    edge = (1 - dist / g['wide']).clamp(0, 1) * (dist > -1.5)
    steep = g['bev'] / g['wide'] * torch.where(g['round'] > 0, edge * 1.4, (edge > 0).float())
    wav = r.chance(.35) * r.log(.003, .05)
    ripple = [bank.at('cloud', lay['x'], lay['y'], r.u(.15, .5), look(r.table(1), lay['id'])[..., 0]) * wav for _ in range(2)]
    nx, ny = -gx * steep + g['tx'] + ripple[0], -gy * steep + g['ty'] + ripple[1]
    # lights: one key (hard lamp or sun ... broad window), sometimes a second; the sky is brighter towards the key
    kind = torch.where(flat > 0, r.pick(.75, .15, .1, 0.), r.pick(.22, .36, .32, .1))  # soft, window, lamp, flash
    soft = torch.where(kind == 1, r.log(.15, .8), torch.where(kind == 2, r.log(.015, .15), r.log(.05, .3)))
    key_share = torch.where(kind == 0, r.u(0, .25), torch.where(kind == 1, r.u(.35, .8), r.u(.45, .93)))
    phi = r.u(0, 2 * math.pi)
    el = torch.where(kind == 3, r.u(1.2, 1.5), r.u(.3, 1.25))
    tan = torch.tan(el)
    key = (phi.cos(), phi.sin(), tan)
    second = r.chance(.25) * r.u(.1, .6)
    phi2, el2 = r.u(0, 2 * math.pi), r.u(.5, 1.3)
    key2 = (phi2.cos(), phi2.sin(), torch.tan(el2))
    shade_low = (1 - second) * occlusion(g, field, lx, ly, hit, key, soft, 14) + second * occlusion(g, field, lx, ly, hit, key2, soft * .8, 8)
    top_s = g['lip'].clamp(min=0)
    shade_up = occlusion(g, field, px, py, top_s, key, soft, 4) * (1 - second)
    lam = lambda n, k, t: (n[0] * k[0] + n[1] * k[1] + t) / torch.sqrt(n[0] ** 2 + n[1] ** 2 + 1) / t
    up = (nx, ny)
    lam_up = ((1 - second) * lam(up, key, key[2]) + second * lam(up, key2, key2[2])).clamp(0, 3.)
    lam_wall = ((1 - second) * ((wn[0] * key[0] + wn[1] * key[1]) / tan).clamp(0, 2.5) + second * ((wn[0] * key2[0] + wn[1] * key2[1]) / key2[2]).clamp(0, 2.5))
    lam_low = wall * lam_wall + (1 - wall)
    anis = torch.where(kind == 0, r.u(0, .5), r.u(.1, .95))
    amb_low, open_low = sky(g, dist, lx, ly, hit, gap, phi + r.n(.5), anis, wn, wall)
    amb_up = (1 + .4 * anis * (nx * phi.cos() + ny * phi.sin())).clamp(.3, 1.8) / torch.sqrt(1 + nx * nx + ny * ny)
    amb_up = amb_up * (1 - .3 * edge * r.u())
    # albedo of the lower layer: wall colour (unglazed body now and then) or bed
    A = faces.permute(0, 3, 1, 2)
    low_tile = read(A, lx - wn[0] * 1.2, ly - wn[1] * 1.2).permute(0, 2, 3, 1)
    body = (r.chance(.3) * (1 - flat) * r.u(.5, 1))[..., None]
    clay = faces.mean((1, 2), keepdim=True) * .3 + constant((.5, .42, .34), dev) * r.log(.3, 1.6)[..., None] * .7
    low_tile = low_tile * (1 - body) + clay * body
    base = read(ground.permute(0, 3, 1, 2), lx, ly).permute(0, 2, 3, 1)
    low_alb = low_tile * wall[..., None] + base * (1 - wall)[..., None]
    # see-through glass: the bed shows in the face, light shines through the body into the joint
    clear = r.chance(.13) * (1 - flat) * r.u(.15, .85)
    top_alb = faces * (1 - clear[..., None]) + clear[..., None] * (faces * read(ground.permute(0, 3, 1, 2), px + T * u[0] * .7, py + T * u[1] * .7).permute(0, 2, 3, 1)).sqrt() * .8
    amb = 1 - key_share
    e_up = key_share * lam_up * (1 - shade_up) + amb * amb_up
    e_low = key_share * lam_low * (1 - shade_low * (1 - .5 * clear)) + amb * amb_low
    f = face[..., None]
    first = (top_alb * f + low_alb * (1 - f)) * (e_up * face + e_low * (1 - face))[..., None]
    glow = gauss(first.permute(0, 3, 1, 2), 4.).permute(0, 2, 3, 1)
    e_bounce = (r.u(.3, 1.1) * (1 - open_low))[..., None] * glow
    up_rad = top_alb * e_up[..., None]
    low_rad = low_alb * (e_low[..., None] + e_bounce)
    # gloss on faces and bevels: reflected direction = u + 2 n; boxes of light (window, lamp) and a dim room
    rx, ry = u[0] + 2 * nx, u[1] + 2 * ny
    iy, ix = torch.randint(R, (b,), device=dev), torch.randint(R, (b,), device=dev)
    at = lambda m: m[torch.arange(b, device=dev), iy, ix].view(-1, 1, 1)
    here = r.chance(.45)
    bx, by = torch.where(here > 0, at(u[0]), key[0] / tan), torch.where(here > 0, at(u[1]), key[1] / tan)
    th = r.u(0, math.pi)
    qx, qy = th.cos() * (rx - bx) + th.sin() * (ry - by), th.cos() * (ry - by) - th.sin() * (rx - bx)
    e = r.log(.006, .2)
    hx, hy = r.log(.03, .5), r.log(.03, .4)
    box = torch.sigmoid((hx - qx.abs()) / e) * torch.sigmoid((hy - qy.abs()) / e)
    bars = torch.sigmoid((qx.abs() - .02) / .006) * r.chance(.3) + (1 - r.chance(.3))
    glossy = r.chance(.6) * (1 - flat * .8)
    lobe = torch.exp(-((rx - key[0] / tan) ** 2 + (ry - key[1] / tan) ** 2) / (2 * (.08 + e) ** 2))
    room = torch.sigmoid(3 * (rx * phi.cos() + ry * phi.sin()) + .5 * look(r.table(1), lay['id'])[..., 0])
    spec = glossy * (r.log(.03, 5.) * box * bars.clamp(0, 1) * (here + .25) + r.log(.02, .8) * lobe + r.log(.005, .08) * room)
    spec = spec * torch.where(edge > 0, .6 + 0 * edge, torch.ones_like(edge))
    up_rad = up_rad + spec[..., None]
    low_rad = low_rad + (wall * glossy * .04 * r.u() * amb_low)[..., None] + (r.chance(.06) * (1 - wall) * r.u(.02, .4) * torch.sigmoid((hx - qx.abs()) / (e + .1)))[..., None]
    rad = up_rad * f + low_rad * (1 - f)
    # panel margin and table: bed sheet outside, then the table a little lower, in the sheet's own shadow line
    lit = (key_share + amb)
    tb = far_table * lit[..., None]
    ot = (on_table + .5).clamp(0, 1)[..., None]
    edge_dark = 1 - r.chance(.7)[..., None] * .5 * torch.exp(-(on_table.clamp(min=0) / r.u(1, 6))[..., None]) * ot
    rad = (rad * (1 - ot) + tb * ot) * edge_dark
    label = label * (1 - ot[..., 0])
    return rad.permute(0, 3, 1, 2), label, 1 - open_low * (1 - face)
