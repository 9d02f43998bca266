"""Writes the DICOM files of this folder with pydicom. Everything in them is invented."""
import os
import pydicom
from pydicom.dataset import Dataset, FileDataset, FileMetaDataset
from pydicom.sequence import Sequence
from pydicom.uid import (
    DeflatedExplicitVRLittleEndian,
    ExplicitVRBigEndian,
    ExplicitVRLittleEndian,
    ImplicitVRLittleEndian,
)

MR = "1.2.840.10008.5.1.4.1.1.4"
ENHANCED_MR = "1.2.840.10008.5.1.4.1.1.4.1"
UID = "2.25.7."  # of nobody

# What must never be seen again outside of the file.
SECRETS = {
    "PatientName": "Secret^Person",
    "PatientID": "SECRET-1",
    "PatientBirthDate": "20190203",
    "InstitutionName": "Secret Hospital",
    "ReferringPhysicianName": "Secret^Doctor",
    "OperatorsName": "Secret^Operator",
    "StationName": "SECRETSTATION",
    "DeviceSerialNumber": "SECRET42",
    "StudyDescription": "secret study of Person",
    "StudyDate": "20270102",
    "AcquisitionDate": "20270102",
}


def identified(ds, series):
    for name, value in SECRETS.items():
        setattr(ds, name, value)
    ds.StudyInstanceUID = UID + "1"
    ds.SeriesInstanceUID = UID + "2." + series
    ds.SOPInstanceUID = UID + "3." + series
    ds.AcquisitionTime = "101112.250000"


def classic():
    """One slice of an echo-planar series, with private and nested elements."""
    ds = Dataset()
    identified(ds, "4")
    ds.SOPClassUID = MR
    ds.Modality = "MR"
    ds.ImageType = ["ORIGINAL", "PRIMARY", "EPI", "NONE"]
    ds.Manufacturer = "GE MEDICAL SYSTEMS"
    ds.ManufacturerModelName = "Invented 3T"
    ds.SeriesDescription = "rest of Secret Person"
    item = Dataset()
    item.ReferencedSOPClassUID = MR
    item.ReferencedSOPInstanceUID = UID + "4"
    inner = Dataset()
    inner.CodeMeaning = "deep"
    item.PurposeOfReferenceCodeSequence = Sequence([inner])
    item.is_undefined_length_sequence_item = True
    ds.ReferencedImageSequence = Sequence([item, Dataset()])
    ds["ReferencedImageSequence"].is_undefined_length = True
    ds.ScanningSequence = ["EP", "GR"]
    ds.SequenceVariant = "SS"
    ds.ScanOptions = ["EPI_GEMS", "FS"]
    ds.MRAcquisitionType = "2D"
    ds.SliceThickness = "3"
    ds.RepetitionTime = "1500"
    ds.EchoTime = "31.5"
    ds.MagneticFieldStrength = "3"
    ds.SpacingBetweenSlices = "3"
    ds.AcquisitionMatrix = [72, 0, 0, 72]
    ds.InPlanePhaseEncodingDirection = "COL"
    ds.SeriesNumber = 4
    ds.InstanceNumber = 1
    ds.ImagePositionPatient = [-100, -100, -20]
    ds.ImageOrientationPatient = [1, 0, 0, 0, 1, 0]
    ds.NumberOfTemporalPositions = 120
    ds.Rows = 72
    ds.Columns = 72
    ds.PixelSpacing = [3, 3]
    block = ds.private_block(0x0021, "GEMS_RELA_01", create=True)
    block.add_new(0x4F, "SS", 45)
    block = ds.private_block(0x0043, "GEMS_PARM_01", create=True)
    block.add_new(0x06, "SS", 1)
    block.add_new(0x2C, "SS", 516)
    block.add_new(0x83, "DS", ["0.5", "1"])
    block.add_new(0xB6, "LO", ["3", "4", "19", "", "", "", ""])
    ds.BitsAllocated = 16
    ds.PixelData = b"\0" * 64
    return ds


def enhanced():
    """Two volumes of four slices, two at a time, in one file."""
    ds = Dataset()
    identified(ds, "7")
    ds.SOPClassUID = ENHANCED_MR
    ds.Modality = "MR"
    ds.ImageType = ["ORIGINAL", "PRIMARY", "FMRI", "NONE"]
    ds.Manufacturer = "Invented Imaging"
    ds.MagneticFieldStrength = "1.5"
    ds.MRAcquisitionType = "2D"
    ds.PulseSequenceName = "epfid2d"
    ds.EchoPulseSequence = "GRADIENT"
    ds.EchoPlanarPulseSequence = "YES"
    ds.SeriesNumber = 7
    ds.InstanceNumber = 1
    ds.NumberOfFrames = 8
    ds.Rows = 64
    ds.Columns = 64
    timing = Dataset()
    timing.RepetitionTime = "800"
    timing.EchoTrainLength = 64
    timing.GradientEchoTrainLength = 64
    modifier = Dataset()
    modifier.ParallelReductionFactorInPlane = 1.0
    imaging = Dataset()
    imaging.PixelBandwidth = "2000"
    geometry = Dataset()
    geometry.InPlanePhaseEncodingDirection = "COLUMN"
    geometry.MRAcquisitionFrequencyEncodingSteps = 64
    geometry.MRAcquisitionPhaseEncodingStepsInPlane = 64
    shared = Dataset()
    shared.MRTimingAndRelatedParametersSequence = Sequence([timing])
    shared.MRModifierSequence = Sequence([modifier])
    shared.MRImagingModifierSequence = Sequence([imaging])
    shared.MRFOVGeometrySequence = Sequence([geometry])
    ds.SharedFunctionalGroupsSequence = Sequence([shared])
    frames = []
    for volume in range(2):
        for slice_ in range(4):
            echo = Dataset()
            echo.EffectiveEchoTime = 40.0
            content = Dataset()
            seconds = 10 + volume * 0.8 + (slice_ % 2) * 0.4
            content.FrameAcquisitionDateTime = f"202701021011{seconds:09.6f}"
            content.StackID = "1"
            content.InStackPositionNumber = slice_ + 1
            content.TemporalPositionIndex = volume + 1
            position = Dataset()
            position.ImagePositionPatient = [-96, -96, 4 * slice_]
            orientation = Dataset()
            orientation.ImageOrientationPatient = [1, 0, 0, 0, 1, 0]
            measures = Dataset()
            measures.SliceThickness = "3.5"
            measures.PixelSpacing = [3, 3]
            frame = Dataset()
            frame.MREchoSequence = Sequence([echo])
            frame.FrameContentSequence = Sequence([content])
            frame.PlanePositionSequence = Sequence([position])
            frame.PlaneOrientationSequence = Sequence([orientation])
            frame.PixelMeasuresSequence = Sequence([measures])
            frames.append(frame)
    ds.PerFrameFunctionalGroupsSequence = Sequence(frames)
    ds.BitsAllocated = 16
    ds.PixelData = b"\0" * 64
    return ds


def write(name, ds, syntax):
    meta = FileMetaDataset()
    meta.MediaStorageSOPClassUID = ds.SOPClassUID
    meta.MediaStorageSOPInstanceUID = ds.SOPInstanceUID
    meta.TransferSyntaxUID = syntax
    file = FileDataset(name, ds, file_meta=meta, preamble=b"\0" * 128)
    file.is_little_endian = syntax != ExplicitVRBigEndian
    file.is_implicit_VR = syntax == ImplicitVRLittleEndian
    file.save_as(os.path.join(os.path.dirname(os.path.abspath(__file__)), name), write_like_original=False)


for label, syntax in (
    ("explicit", ExplicitVRLittleEndian),
    ("implicit", ImplicitVRLittleEndian),
    ("big-endian", ExplicitVRBigEndian),
    ("deflated", DeflatedExplicitVRLittleEndian),
):
    write(f"classic-{label}.dcm", classic(), syntax)
    write(f"enhanced-{label}.dcm", enhanced(), syntax)
print(pydicom.__version__)
