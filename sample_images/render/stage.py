"""From meshes and curves to the renderer's own words, and the render itself.

The film records six channels in one pass: a camera's three sensitivities, and the
CIE 1931 colour matching functions. Photo and truth therefore share every ray.
"""

from __future__ import annotations

import functools
import itertools
import tempfile
from pathlib import Path
from typing import Any

import numpy as np

from .mesh import Mesh, write_ply
from .spectra import spectrum

Plugin = dict[str, Any]
_count = itertools.count()


@functools.cache
def _folder() -> tempfile.TemporaryDirectory:
    """Return the folder that holds the meshes until the run ends."""
    return tempfile.TemporaryDirectory(prefix="render-")


def start_renderer(variant: str) -> None:
    """Start Mitsuba in a spectral variant, before any scene is made.

    ``scalar_spectral`` starts everywhere; ``llvm_ad_spectral`` is five times as fast
    and needs a recent libLLVM (19 served us; 15 fails).
    """
    import mitsuba as mi

    mi.set_variant(variant)


def shape(mesh: Mesh, bsdf: Plugin) -> Plugin:
    """Return a mesh with its surface as a scene entry."""
    path = Path(_folder().name) / f"{next(_count)}.ply"
    write_ply(mesh, path)
    return {"type": "ply", "filename": str(path), "bsdf": bsdf}


def picture(linear_rgb: np.ndarray) -> Plugin:
    """Return a texture of linear sRGB reflectances, which the renderer makes smooth spectra."""
    import mitsuba as mi

    values = np.clip(linear_rgb, 0.0, 0.95).astype(np.float32)
    return {"type": "bitmap", "bitmap": mi.Bitmap(np.ascontiguousarray(values)), "raw": False}


def mask(field: np.ndarray) -> Plugin:
    """Return a texture of plain numbers, 0 to 1."""
    import mitsuba as mi

    values = np.clip(field, 0.0, 1.0).astype(np.float32)[..., None]
    return {"type": "bitmap", "bitmap": mi.Bitmap(np.ascontiguousarray(values)), "raw": True}


def matt(reflectance: Plugin | np.ndarray) -> Plugin:
    """Return a matt surface, seen from both sides."""
    return {"type": "twosided", "bsdf": {"type": "diffuse", "reflectance": _curve(reflectance)}}


def glossy(
    reflectance: Plugin | np.ndarray, roughness: float = 0.15, inner: bool = False
) -> Plugin:
    """Return a coloured ground under a clear skin: enamel, oil paint, a fruit's wax.

    ``inner``: the curve is that of the ground below the skin, so light that is thrown
    back and forth between the two is to be reckoned with.
    """
    plastic = {
        "type": "roughplastic",
        "diffuse_reflectance": _curve(reflectance),
        "alpha": roughness,
        "int_ior": 1.5,
        "nonlinear": inner,
    }
    return {"type": "twosided", "bsdf": plastic}


def thin_leaf(reflectance: Plugin | np.ndarray, through: float = 0.7) -> Plugin:
    """Return a leaf: part of the light comes back, part of it (0 to 2) goes through."""
    return {
        "type": "principledthin",
        "base_color": _curve(reflectance),
        "roughness": 0.45,
        "diff_trans": through,
        "spec_trans": 0.0,
    }


def covered(below: Plugin, where: np.ndarray, above: Plugin) -> Plugin:
    """Return ``above`` lying on ``below`` wherever the field is 1."""
    inner = [
        bsdf.get("bsdf", bsdf) if bsdf["type"] == "twosided" else bsdf for bsdf in (below, above)
    ]
    blend = {"type": "blendbsdf", "weight": mask(where), "a": inner[0], "b": inner[1]}
    return {"type": "twosided", "bsdf": blend}


def embossed(bsdf: Plugin, height: np.ndarray, scale: float) -> Plugin:
    """Return a surface whose shading follows a height field; scale as the renderer takes it."""
    inner = bsdf["bsdf"] if bsdf["type"] == "twosided" else bsdf
    bump = {"type": "bumpmap", "map": mask(height), "scale": scale, "bsdf": inner}
    return {"type": "twosided", "bsdf": bump}


def lamp(power: np.ndarray) -> Plugin:
    """Return an area emitter of the given power curve."""
    return {"type": "area", "radiance": spectrum(power)}


def camera(
    origin: tuple, target: tuple, fov_deg: float, aperture_m: float, focus_m: float
) -> Plugin:
    """Return a lens with a depth of field, without its film."""
    import mitsuba as mi

    return {
        "type": "thinlens",
        "to_world": mi.ScalarTransform4f().look_at(origin, target, [0, 0, 1]),
        "fov": fov_deg,
        "fov_axis": "x",
        "aperture_radius": aperture_m,
        "focus_distance": focus_m,
    }


def reduced(
    point: tuple, origin: tuple, target: tuple, fov_deg: float, aspect: float
) -> tuple[float, float]:
    """Return where a point appears, as shares of the picture's width and height."""
    ahead = np.subtract(target, origin) / np.linalg.norm(np.subtract(target, origin))
    right = np.cross(ahead, [0, 0, 1])
    right /= np.linalg.norm(right)
    offset = np.subtract(point, origin)
    reach = offset @ ahead * np.tan(np.radians(fov_deg / 2)) * 2
    return 0.5 + offset @ right / reach, 0.5 - offset @ np.cross(right, ahead) / reach * aspect


def _curve(reflectance: Plugin | np.ndarray) -> Plugin:
    return spectrum(reflectance) if isinstance(reflectance, np.ndarray) else reflectance


def render(scene: Plugin, size: tuple[int, int], samples: int, curves: np.ndarray) -> np.ndarray:
    """Return the mean radiance through the six ``curves`` (n, 6), shape (height, width, 6).

    Rendered in passes with the seeds 0, 1, 2 ..., so the same call gives the same picture.
    """
    import mitsuba as mi

    width, height = size
    film: Plugin = {
        "type": "specfilm",
        "width": width,
        "height": height,
        "component_format": "float32",
        "rfilter": {"type": "box"},
    }
    for k, name in enumerate(("1r", "2g", "3b", "4x", "5y", "6z")):
        film[f"channel{name}"] = spectrum(curves[:, k])
    scene = {
        "type": "scene",
        "integrator": {"type": "path", "max_depth": 8, "rr_depth": 4},
        **scene,
    }
    scene["sensor"] = {**scene["sensor"], "film": film, "sampler": {"type": "independent"}}
    loaded = mi.load_dict(scene)
    per_pass = max(1, min(samples, int(12e6 / (width * height))))
    passes = max(1, samples // per_pass)
    total = np.zeros((height, width, 6))
    for seed in range(passes):
        total += np.asarray(mi.render(loaded, spp=per_pass, seed=seed), dtype=float)
        print(f"\rpass {seed + 1} of {passes}", end="", flush=True)
    print()
    return total / passes
