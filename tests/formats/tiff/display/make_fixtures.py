"""Makes the JPEG pictures in fixtures/ with Debian's libtiff-tools, and libtiff's own reading of each as *.read.tif.
Needs numpy and tifffile, which write the picture that is packed."""

import subprocess
from pathlib import Path

import numpy as np
import tifffile

HERE = Path(__file__).parent / "fixtures"
y, x = np.mgrid[0:37, 0:45]
rng = np.random.default_rng(29)
colour = np.stack([128 + 100 * np.sin(x / 6), 128 + 90 * np.cos(y / 5), 3 * (x + y)], -1)
colour[9:12, 20:23] = [255, 40, 60]
colour = (colour + rng.normal(0, 2, colour.shape)).clip(0, 255).astype("u1")

CASES = {
    "ycc-strips": (colour, ["-c", "jpeg:90", "-r", "16"]),
    "ycc-tiles": (colour, ["-c", "jpeg:80", "-t", "-w", "32", "-l", "16", "-B"]),
    "rgb-planes": (colour, ["-c", "jpeg:r:90", "-p", "separate", "-r", "16"]),
    "grey": (colour[..., 0], ["-c", "jpeg:90", "-r", "24", "-8"]),
}
for name, (picture, options) in CASES.items():
    plain = HERE / "plain.tif"
    tifffile.imwrite(plain, picture, photometric="rgb" if picture.ndim == 3 else "minisblack", metadata=None)
    packed = HERE / f"{name}.tif"
    subprocess.run(["tiffcp", *options, plain, packed], check=True)
    subprocess.run(["tiff2rgba", "-c", "zip", "-n", packed, HERE / f"{name}.read.tif"], check=True)
    plain.unlink()
