"""Writes FITS files with independent writers (astropy, fpack) and the physical values that astropy reads from them.

    make_fixtures.py FOLDER              every file of the matrix
    make_fixtures.py FOLDER --small      the few that are committed: bundled into FOLDER/small.json

Beside each file lies NAME.f64: width x height float64 values, little-endian, top row first, NaN where undefined.
manifest.json lists {file, values, width, height, hdu, plane, type, topDown}.
small.json holds {manifest, files: {name: base64 of the zlib-deflated bytes}}.
Integers are scaled here from the stored values in float64; astropy itself would do so in float32 for 8 and 16 bits.
"""
import base64
import gzip
import json
import shutil
import subprocess
import sys
import tempfile
import warnings
import zlib
from pathlib import Path

import numpy as np
from astropy.io import fits

warnings.simplefilter("ignore")
SMALL = "--small" in sys.argv
FOLDER = Path(tempfile.mkdtemp() if SMALL else sys.argv[1])
# Enough to meet every way a file can differ once.
COMMITTED = {
    "u8-plain", "i16-blank-scaled", "u16-plain", "i32-scaled-d", "i64-blank", "u64-plain", "f32-special", "f64-special",
    "f32-scaled", "extension-name", "cube-plane-2", "gzip-i16", "gzip-members", "rice-u8-row", "rice-i16-tile",
    "rice-f32-dither1", "rice-f32-dither2", "gzip1-f32-lossless", "gzip2-i32-tile", "gzip2-f32-dither1",
    "unmarked", "nul-after-end", "utf8", "sums-u16", "sums-f32", "sums-tiles",
    "fpack-f32-r", "fpack-f32-noise-g2", "fpack-i16-whole", "nocompress-i16", "q-descriptors", "long-header", "unpadded",
}
random = np.random.default_rng(20260101)
manifest = []
HEIGHT, WIDTH = (13, 19) if SMALL else (23, 37)
PACKED = dict(height=9, width=100) if SMALL else dict(height=40, width=300)


def wanted(name):
    return not SMALL or name in COMMITTED


def integers(dtype, height=HEIGHT, width=WIDTH):
    """A smooth scene with noise, and the extremes of the type in the first row."""
    info = np.iinfo(dtype)
    y, x = np.mgrid[0:height, 0:width]
    noise = random.normal(0, 12, (height, width))
    scene = 100 + x + 2 * y + noise + (info.min if info.min == 0 else 0)
    data = np.clip(scene, info.min, info.max if info.bits < 64 else 2**53).astype(dtype)
    if width > 8:
        data[0, :4] = [info.min, info.max, info.min + 1, info.max - 1]
    return data


def floats(dtype, special=False, height=HEIGHT, width=WIDTH):
    y, x = np.mgrid[0:height, 0:width]
    data = (random.normal(0, 0.02, (height, width)) + 0.3 + x * 0.001 - y * 0.002).astype(dtype)
    if special:
        tiny = np.finfo(dtype).smallest_subnormal
        data[0, :8] = [np.nan, np.inf, -np.inf, 0.0, -0.0, np.finfo(dtype).max, tiny, -np.finfo(dtype).tiny]
        data[5:8, 10:14] = np.nan
    return data


def physical(path, hdu, plane):
    """Stored values, BLANK, BSCALE and BZERO by the standard's formula, in float64."""
    with fits.open(path, do_not_scale_image_data=True) as hdus:
        stored, header = hdus[hdu].data, hdus[hdu].header
        if stored.dtype.kind == "u" and stored.dtype.itemsize == 8:
            values = stored.astype(np.float64)
        elif stored.dtype.kind in "iu":
            scale, zero = header.get("BSCALE", 1), header.get("BZERO", 0)
            if isinstance(zero, str):
                # A card without "= " has no value: astropy keeps what stands there as a comment, and does not scale.
                zero = 0
                with fits.open(path) as scaled:
                    assert np.array_equal(scaled[hdu].data, stored)
            if stored.dtype.itemsize == 8 and zero == 2**63:
                values = (stored.astype(np.int64).view(np.uint64) ^ np.uint64(2**63)).astype(np.float64)
            else:
                values = stored.astype(np.float64) * float(scale) + float(zero)
            if "BLANK" in header:
                values[stored == header["BLANK"]] = np.nan
        else:
            values = stored.astype(np.float64) * float(header.get("BSCALE", 1)) + float(header.get("BZERO", 0))
    values = values.reshape((-1,) + values.shape[-2:])
    return values[plane or 0]


def record(path, name, hdu=0, plane=None, select=None, values=None, top_down=False, kind=None):
    if values is None:
        values = physical(path, hdu, plane)
    shown = values if top_down else values[::-1]
    (FOLDER / f"{name}.f64").write_bytes(np.ascontiguousarray(shown, "<f8").tobytes())
    manifest.append(dict(
        file=path.name, values=f"{name}.f64", width=values.shape[1], height=values.shape[0],
        hdu=select, plane=plane, type=kind, topDown=top_down,
    ))


def write(name, data, cards=(), kind=None, **place):
    """One primary image; `cards` are whole cards as text, put in after astropy's own."""
    if not wanted(name):
        return
    path = FOLDER / f"{name}.fits"
    hdu = fits.PrimaryHDU(data)
    for card in cards:
        hdu.header.append(fits.Card.fromstring(card), end=True)
    hdu.writeto(path, output_verify="ignore")
    record(path, name, kind=kind, **place)


def raw(name, bitpix, data, cards=(), kind=None, pad=True, nuls=False, **place):
    """Header written card by card, for what astropy would scale away on writing; cards hold bytes as Latin-1."""
    if not wanted(name):
        return
    path = FOLDER / f"{name}.fits"
    axes = data.shape[::-1]
    lines = ["SIMPLE  =                    T", f"BITPIX  = {bitpix:>20}", f"NAXIS   = {len(axes):>20}"]
    lines += [f"NAXIS{i + 1:<3}= {length:>20}" for i, length in enumerate(axes)]
    header = "".join(f"{line:<80}" for line in [*lines, *cards, "END"]).encode("latin-1")
    stored = data.astype(data.dtype.newbyteorder(">")).tobytes()
    if nuls:
        header = header.rstrip()
    blocks = header.ljust(-(-len(header) // 2880) * 2880, b"\0" if nuls else b" ") + stored
    path.write_bytes(blocks.ljust(-(-len(blocks) // 2880) * 2880, b"\0") if pad else blocks)
    record(path, name, kind=kind, **place)


def plain_images():
    kinds = {"u8": "u1", "i16": "i2", "i32": "i4", "i64": "i8", "f32": "f4", "f64": "f8"}
    for name, dtype in kinds.items():
        make = floats if dtype[0] == "f" else integers
        write(f"{name}-plain", make(np.dtype(dtype)), kind=name)
        for height, width in [(1, 1), (1, 50), (40, 1), (5, 721)]:
            write(f"{name}-{width}x{height}", make(np.dtype(dtype), height=height, width=width), kind=name)
    for name, dtype in {"i8": "i1", "u16": "u2", "u32": "u4", "u64": "u8"}.items():
        write(f"{name}-plain", integers(np.dtype(dtype)), kind="f64" if name == "u64" else name)
    for name, dtype in {"f32": "f4", "f64": "f8"}.items():
        write(f"{name}-special", floats(np.dtype(dtype), special=True), kind=name)
        raw(f"{name}-blank-ignored", -8 * int(dtype[1]), floats(np.dtype(dtype)), ["BLANK   =                    0"], kind=name)
        raw(f"{name}-scaled", -8 * int(dtype[1]), floats(np.dtype(dtype)), ["BSCALE  =                  3.5", "BZERO   =                 -0.1"], kind="f64")
    for name, dtype in {"u8": "u1", "i16": "i2", "i32": "i4", "i64": "i8"}.items():
        bits = 8 * int(dtype[1])
        data = integers(np.dtype(dtype))
        # Values that float32 does not hold exactly are read as float64.
        scaled = "f32" if bits <= 16 else "f64"
        blank = int(data[3, 4])
        blank_card = f"BLANK   = {blank:>20}"
        raw(f"{name}-scaled", bits, data, ["BSCALE  =                  0.1", "BZERO   =               -1000."], kind="f64")
        raw(f"{name}-scaled-d", bits, data, ["BSCALE  =              2.5D-03", "BZERO   =             1.25d+01"], kind="f64")
        raw(f"{name}-negative", bits, data, ["BSCALE  =                 -1.0", "BZERO   =                  5.0"], kind=scaled)
        raw(f"{name}-blank", bits, data, [blank_card], kind=name)
        raw(f"{name}-blank-scaled", bits, data, [blank_card, "BSCALE  =                  0.5", "BZERO   =                 10.0"], kind=scaled)
    raw("u16-blank", 16, integers(np.dtype("i2")), ["BLANK   =               -32768", "BZERO   =                32768"], kind="u16")


def odd_headers():
    long_text = "".join(chr(33 + i % 90) for i in range(700))
    cards = [f"COMMENT  {i}" for i in range(150)]
    cards += ["HIERARCH detector temperature now = -10.5 / words", "FILTER  = '656e0   '"]
    cards += ["NOTE    = '" + "it''s " * 10 + "&'", "CONTINUE  'and more' / of it", f"LONG    = '{long_text[:60]}"]
    raw("long-header", 16, integers(np.dtype("i2")), cards, kind="i16")
    raw("unpadded", 16, integers(np.dtype("i2")), kind="i16", pad=False)
    raw("top-down", 16, integers(np.dtype("i2")), ["ROWORDER= 'TOP-DOWN'"], kind="i16", top_down=True)
    raw("bottom-up", 16, integers(np.dtype("i2")), ["ROWORDER= 'BOTTOM-UP'"], kind="i16")
    raw("degenerate", -32, floats(np.dtype("f4"))[None, None], kind="f32")
    cube = np.stack([integers(np.dtype("i2")) for _ in range(3)])
    for plane in range(3):
        raw(f"cube-plane-{plane}", 16, cube, kind="i16", plane=plane)
    four = floats(np.dtype("f4"), height=4 * HEIGHT).reshape(2, 2, HEIGHT, WIDTH)
    raw("cube-four-axes", -32, four, kind="f32", plane=3)


def extensions():
    path = FOLDER / "extensions.fits"
    table = fits.BinTableHDU.from_columns([fits.Column("A", "1J", array=np.arange(9))], name="EVENTS")
    first, second = integers(np.dtype("u2")), floats(np.dtype("f4"), special=True)
    names = [name for name in ["extension-first", "extension-index", "extension-name"] if wanted(name)]
    if not names:
        return
    fits.HDUList([fits.PrimaryHDU(), table, fits.ImageHDU(first, name="SCI"), fits.ImageHDU(second, name="Err")]).writeto(path)
    for name, (hdu, select, kind) in zip(
        ["extension-first", "extension-index", "extension-name"], [(2, None, "u16"), (3, 3, "f32"), (3, "ERR", "f32")]
    ):
        if name in names:
            record(path, name, hdu=hdu, select=select, kind=kind)


def gzipped():
    sources = {"i16": integers(np.dtype("i2")), "f32": floats(np.dtype("f4"), special=True), "u8": integers(np.dtype("u1"))}
    for name, data in sources.items():
        for level in (1, 6, 9):
            label = f"gzip-{name}" if level == 6 else f"gzip-{name}-{level}"
            if wanted(label):
                path = FOLDER / f"{label}.fits.gz"
                fits.PrimaryHDU(data).writeto(FOLDER / "plain.tmp", overwrite=True)
                path.write_bytes(gzip.compress((FOLDER / "plain.tmp").read_bytes(), level, mtime=0))
                record(path, label, kind=name)
    if wanted("gzip-members"):
        path = FOLDER / "gzip-members.fits.gz"
        fits.PrimaryHDU(sources["f32"]).writeto(FOLDER / "plain.tmp", overwrite=True)
        whole = (FOLDER / "plain.tmp").read_bytes()
        path.write_bytes(gzip.compress(whole[:4000], 6, mtime=0) + gzip.compress(whole[4000:], 0, mtime=0))
        record(path, "gzip-members", kind="f32")
    (FOLDER / "plain.tmp").unlink(missing_ok=True)
    if not SMALL:
        # Large enough for several places to go back to.
        path = FOLDER / "gzip-large.fits.gz"
        data = floats(np.dtype("f4"), height=1100, width=1000)
        fits.PrimaryHDU(data).writeto(path, overwrite=True)
        record(path, "gzip-large", kind="f32")


def compressed(name, data, kind, **options):
    if not wanted(name):
        return
    path = FOLDER / f"{name}.fits"
    fits.HDUList([fits.PrimaryHDU(), fits.CompImageHDU(data, **options)]).writeto(path)
    record(path, name, hdu=1, kind=kind)


def tiles():
    kinds = {"u8": "u1", "i16": "i2", "u16": "u2", "i32": "i4"}
    shapes = {"row": None, "tile": (5, 16), "columns": (HEIGHT, 8)}
    for codec in ["RICE_1", "GZIP_1", "GZIP_2", "NOCOMPRESS"]:
        label = codec.lower().removesuffix("_1") if codec == "RICE_1" else codec.lower().replace("_", "")
        for name, dtype in kinds.items():
            for shape, tile in shapes.items():
                full = f"{label}-{name}" if (codec, shape) == ("NOCOMPRESS", "row") else f"{label}-{name}-{shape}"
                data = integers(np.dtype(dtype))
                # Differences of 32-bit extremes overflow in the encoder of some versions.
                if dtype == "i4":
                    data[0, :4] = [-(2**29), 2**29, 0, 1]
                compressed(full, data, name, compression_type=codec, tile_shape=tile)
    for codec in ["RICE_1", "GZIP_1", "GZIP_2"]:
        label = "rice" if codec == "RICE_1" else codec.lower().replace("_", "")
        for kind, dtype in {"f32": "f4", "f64": "f8"}.items():
            for method, number in {"none": -1, "dither1": 1, "dither2": 2}.items():
                data = floats(np.dtype(dtype))
                data[4, 5:9] = np.nan
                data[6, 1:9] = 0
                compressed(f"{label}-{kind}-{method}", data, kind, compression_type=codec, quantize_level=8,
                           quantize_method=number, dither_seed=9990)
    for codec in ["GZIP_1", "GZIP_2"]:
        for kind, dtype in {"f32": "f4", "f64": "f8"}.items():
            data = floats(np.dtype(dtype), special=True)
            compressed(f"{codec.lower().replace('_', '')}-{kind}-lossless", data, kind, compression_type=codec, quantize_level=0)
    # Long enough for the dither's numbers to wrap around.
    compressed("rice-f32-long", floats(np.dtype("f4"), height=3, width=12000), "f32", compression_type="RICE_1",
               quantize_level=4, quantize_method=1, dither_seed=9999)
    # 64-bit descriptors.
    data = integers(np.dtype("i2"))
    if wanted("q-descriptors"):
        path = FOLDER / "q-descriptors.fits"
        hdu = fits.CompImageHDU(data, compression_type="RICE_1")
        hdu.writeto(path)
        widen_descriptors(path)
        record(path, "q-descriptors", hdu=1, kind="i16", values=data.astype(np.float64))


def widen_descriptors(path):
    """Rewrites the P descriptors of a tile table as Q ones; astropy reads both but writes Q only for huge heaps."""
    with fits.open(path, disable_image_compression=True) as hdus:
        table, header = hdus[1], hdus[1].header
        start = table._data_offset
        whole = path.read_bytes()
        rows, width = header["NAXIS2"], header["NAXIS1"]
        narrow = np.frombuffer(whole, ">i4", rows * 2, start)
        heap_start = start + header.get("THEAP", rows * width)
        heap = whole[heap_start:start + rows * width + header["PCOUNT"]]
        header = header.copy()
        header["NAXIS1"], header["TFORM1"] = 16, header["TFORM1"].replace("P", "Q")
        header["PCOUNT"] = len(heap)
        header.remove("THEAP", ignore_missing=True)
        primary = whole[:hdus[1]._header_offset]
    assert width == 8
    body = header.tostring().encode() + narrow.astype(">i8").tobytes() + heap
    path.write_bytes(primary + body.ljust(-(-len(body) // 2880) * 2880, b"\0"))


def fpacked():
    if not shutil.which("fpack"):
        return
    sources = {
        "u8": integers(np.dtype("u1")), "i16": integers(np.dtype("i2")), "u16": integers(np.dtype("u2")),
        "i32": integers(np.dtype("i2")).astype("i4"), "f32": floats(np.dtype("f4"), **PACKED),
        "f32-noise": floats(np.dtype("f4"), special=True, **PACKED),
    }
    options = {"r": ["-r"], "g1": ["-g1"], "g2": ["-g2"], "whole": ["-r", "-w"], "tiles": ["-r", "-t", "16,6"]}
    floating = {"exact": ["-g2", "-q", "0"], "zero": ["-r", "-qz", "4"], "level": ["-r", "-q0", "8"]}
    for name, data in sources.items():
        for option, flags in {**options, **(floating if data.dtype.kind == "f" else {})}.items():
            label = f"fpack-{name}-{option}"
            if not wanted(label):
                continue
            plain, path = FOLDER / "plain.fits", FOLDER / f"{label}.fits.fz"
            fits.PrimaryHDU(data).writeto(plain, overwrite=True)
            path.write_bytes(subprocess.run(["fpack", *flags, "-S", plain], check=True, capture_output=True).stdout)
            # astropy 5.2 does not turn the ZBLANK keyword of dithered tiles into NaN (funpack does): take NaN from the source.
            values = np.where(np.isnan(data), np.nan, physical(path, 1, None))
            record(path, label, values=values, kind=name.removesuffix("-noise"))
            plain.unlink()


def deviations():
    """What breaks the standard, as astropy reads it."""
    cards = ["BZERO   =32768", "FILTER  ='Ha'"]
    raw("unmarked", 16, integers(np.dtype("i2")), cards, kind="i16")
    raw("nul-after-end", 16, integers(np.dtype("i2")), kind="i16", nuls=True)
    raw("utf8", 16, integers(np.dtype("i2")), ["FILTER  = 'H\u03b1 6 nm'".encode().decode("latin-1")], kind="i16")


def checksums():
    for name, dtype in {"u16": "u2", "f32": "f4", "u8": "u1"}.items():
        if wanted(f"sums-{name}"):
            path = FOLDER / f"sums-{name}.fits"
            make = floats if dtype[0] == "f" else integers
            image = fits.ImageHDU(make(np.dtype(dtype)), name="SCI")
            fits.HDUList([fits.PrimaryHDU(), image]).writeto(path, checksum=True)
            record(path, f"sums-{name}", hdu=1, kind=name)
    if wanted("sums-tiles"):
        path = FOLDER / "sums-tiles.fits"
        tiled = fits.CompImageHDU(integers(np.dtype("i2")), compression_type="RICE_1")
        fits.HDUList([fits.PrimaryHDU(), tiled]).writeto(path, checksum=True)
        record(path, "sums-tiles", hdu=1, kind="i16")


def bundle():
    files = {
        name: base64.b64encode(zlib.compress((FOLDER / name).read_bytes(), 9)).decode()
        for name in sorted({name for row in manifest for name in (row["file"], row["values"])})
    }
    shutil.rmtree(FOLDER)
    text = json.dumps(dict(manifest=manifest, files=files), indent=0)
    (Path(sys.argv[1]) / "small.json").write_text(text + "\n")


FOLDER.mkdir(parents=True, exist_ok=True)
for part in (plain_images, odd_headers, extensions, gzipped, tiles, fpacked, deviations, checksums):
    part()
(FOLDER / "manifest.json").write_text(json.dumps(manifest, indent=0))
if SMALL:
    bundle()
print(len(manifest), "files")
