"""Headers of images as nibabel writes them, with the sizes that it reads back. Run: python make.py, then npm run format"""

import json
import pathlib

import nibabel as nib
import numpy as np

HERE = pathlib.Path(__file__).parent


def write(name, image_class, shape, zooms, units, endianness="<"):
    header = image_class.header_class(endianness=endianness)
    header.set_data_dtype(np.uint8)
    image = image_class(np.zeros(shape, np.uint8), np.eye(4), header)
    image.header.set_zooms(zooms)
    image.header.set_xyzt_units(units, "sec")
    nib.save(image, HERE / name)
    back = nib.load(HERE / name).header
    return {
        "file": name,
        "shape": [int(n) for n in back.get_data_shape()],
        "zooms": [float(z) for z in back.get_zooms()],
        "units": back.get_xyzt_units()[0],
    }


cases = [
    write("bold.nii.gz", nib.Nifti1Image, (10, 9, 6, 4), (2.4, 2.5, 2.6, 0.9), "mm"),
    write("anat.nii", nib.Nifti1Image, (7, 8, 9), (0.8, 1.0, 1.2), "mm"),
    write("big-endian.nii", nib.Nifti1Image, (7, 8, 9), (0.8, 1.0, 1.2), "mm", ">"),
    write("microns.nii", nib.Nifti1Image, (3, 4, 5), (800.0, 900.0, 1000.0), "micron"),
    write("version-2.nii", nib.Nifti2Image, (5, 6, 7, 3), (2.0, 2.1, 2.2, 1.5), "mm"),
]
(HERE / "expected.json").write_text(
    json.dumps({"nibabel": nib.__version__, "cases": cases}, indent=2) + "\n"
)
