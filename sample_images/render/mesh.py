"""Everything in the scenes is a bent sheet: grids of points turned into meshes."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np


@dataclass(frozen=True, eq=False)
class Mesh:
    """A triangle mesh: ``vertices``, ``normals`` (n, 3), ``uv`` (n, 2), ``faces`` (m, 3)."""

    vertices: np.ndarray
    normals: np.ndarray
    uv: np.ndarray
    faces: np.ndarray

    def moved(self, turn: np.ndarray | None = None, by: tuple[float, ...] = (0, 0, 0)) -> Mesh:
        """Return the mesh turned by a 3 x 3 rotation and then shifted (metres)."""
        turn = np.eye(3) if turn is None else turn
        shifted = self.vertices @ turn.T + np.asarray(by, dtype=float)
        return Mesh(shifted, self.normals @ turn.T, self.uv, self.faces)

    def with_uv(self, scale: tuple[float, float], shift: tuple[float, float]) -> Mesh:
        """Return the mesh with its texture coordinates scaled and shifted."""
        return Mesh(self.vertices, self.normals, self.uv * scale + np.array(shift), self.faces)


def grid(points: np.ndarray, closed: bool = False) -> Mesh:
    """Return the sheet through ``points`` (rows, columns, 3), smooth-shaded.

    ``closed``: the last column lies on the first (a fruit, a tube), and the seam is smoothed.
    """
    rows, cols = points.shape[:2]
    index = np.arange(rows * cols).reshape(rows, cols)
    a, b, c, d = index[:-1, :-1], index[:-1, 1:], index[1:, 1:], index[1:, :-1]
    faces = np.concatenate(
        [np.stack([a, b, c], -1).reshape(-1, 3), np.stack([a, c, d], -1).reshape(-1, 3)]
    )
    vertices = points.reshape(-1, 3)
    normals = _vertex_normals(vertices, faces).reshape(rows, cols, 3)
    if closed:
        seam = normals[:, 0] + normals[:, -1]
        normals[:, 0] = normals[:, -1] = seam
        for row in (0, -1):  # a pole is one point with one normal
            if np.ptp(points[row], axis=0).max() < 1e-9:
                normals[row] = normals[row].sum(axis=0)
    length = np.linalg.norm(normals, axis=-1, keepdims=True)
    normals = normals / np.maximum(length, 1e-20)
    u, v = np.meshgrid(np.linspace(0, 1, cols), np.linspace(0, 1, rows))
    return Mesh(vertices, normals.reshape(-1, 3), np.stack([u, v], -1).reshape(-1, 2), faces)


def _vertex_normals(vertices: np.ndarray, faces: np.ndarray) -> np.ndarray:
    corner = vertices[faces]
    normal = np.cross(corner[:, 1] - corner[:, 0], corner[:, 2] - corner[:, 0])
    total = np.zeros_like(vertices)
    for k in range(3):
        for axis in range(3):
            total[:, axis] += np.bincount(faces[:, k], normal[:, axis], len(vertices))
    return total


def revolve(radius: np.ndarray, height: np.ndarray, around: int = 160) -> np.ndarray:
    """Return the points of a turned form, (rows, around + 1, 3); z is up."""
    angle = np.linspace(0.0, 2.0 * np.pi, around + 1)
    x = radius[:, None] * np.cos(angle)
    y = radius[:, None] * np.sin(angle)
    z = np.broadcast_to(height[:, None], x.shape)
    return np.stack([x, y, z], axis=-1)


def tube(path: np.ndarray, radius: np.ndarray, around: int = 16) -> np.ndarray:
    """Return the points of a tube along ``path`` (n, 3) with a radius at each point."""
    tangent = np.gradient(path, axis=0)
    tangent /= np.linalg.norm(tangent, axis=1, keepdims=True)
    side = np.cross(tangent, np.array([0.31, 0.87, 0.38]))
    side /= np.linalg.norm(side, axis=1, keepdims=True)
    other = np.cross(tangent, side)
    angle = np.linspace(0.0, 2.0 * np.pi, around + 1)[None, :, None]
    ring = np.cos(angle) * side[:, None] + np.sin(angle) * other[:, None]
    return path[:, None] + ring * np.asarray(radius)[:, None, None]


def join(meshes: list[Mesh]) -> Mesh:
    """Return many meshes as one."""
    starts = np.cumsum([0] + [len(mesh.vertices) for mesh in meshes[:-1]])
    return Mesh(
        np.concatenate([mesh.vertices for mesh in meshes]),
        np.concatenate([mesh.normals for mesh in meshes]),
        np.concatenate([mesh.uv for mesh in meshes]),
        np.concatenate([m.faces + start for m, start in zip(meshes, starts, strict=True)]),
    )


def turned(x_deg: float = 0.0, y_deg: float = 0.0, z_deg: float = 0.0) -> np.ndarray:
    """Return the rotation about x, then y, then z."""
    from scipy.spatial.transform import Rotation

    return Rotation.from_euler("xyz", [x_deg, y_deg, z_deg], degrees=True).as_matrix()


def write_ply(mesh: Mesh, path: Path) -> None:
    """Write the mesh as a binary PLY file, which every variant of the renderer reads."""
    table = np.concatenate([mesh.vertices, mesh.normals, mesh.uv], axis=1).astype("<f4")
    faces = np.empty(len(mesh.faces), dtype=[("n", "u1"), ("i", "<i4", 3)])
    faces["n"], faces["i"] = 3, mesh.faces
    names = "".join(
        f"property float {name}\n" for name in ("x", "y", "z", "nx", "ny", "nz", "u", "v")
    )
    header = (
        f"ply\nformat binary_little_endian 1.0\nelement vertex {len(table)}\n{names}"
        f"element face {len(faces)}\nproperty list uchar int vertex_indices\nend_header\n"
    )
    path.write_bytes(header.encode() + table.tobytes() + faces.tobytes())
