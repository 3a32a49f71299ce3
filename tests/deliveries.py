"""Deliveries as values, without any picture: all made up."""

import datetime
from dataclasses import replace
from decimal import Decimal
from typing import Any

from proofs.findings import Finding, Severity
from proofs.lengths import Borders, PixelSize, inches
from proofs.measures import read_size
from proofs.plan.delivery.deliveries import BASELINE, DeliveredFile, Delivery, FileFacts
from proofs.plan.sheets.placing import place
from proofs.records.labs import FileFormat
from proofs.records.rules import VisibleRule
from tests.workbench import LAB

FACTS = FileFacts(
    format=FileFormat.JPEG,
    pixels=PixelSize(2400, 3000),
    ppi=300.0,
    bits=8,
    channels=3,
    icc="A profile",
    icc_sha256="ab" * 32,
    size_bytes=1_234_567,
    encoding=BASELINE,
)
FILE = DeliveredFile(
    file="prints/1_old-pier.jpg",
    entry="1",
    title="Old pier",
    copies=1,
    paper="Lustre",
    finish="matt",
    sheet=read_size("8x10 in"),
    image=place(LAB, read_size("8x10 in"), PixelSize(1800, 2400)).image,
    margin_marks=(),
    facts=FACTS,
    sha256="cd" * 32,
    hidden=Borders(*[inches("1/8")] * 4),
    opening=read_size("5.75x7.75 in"),
    slack=read_size("2x2 mm"),
    limits=VisibleRule(longest_least=inches(7), least_square_nm=read_size("5x7 in").square_nm),
    verdicts=(Finding("longest-side", Severity.MET, "met", 196.85, 177.8, "mm"),),
    missing=("no margin_line: no mat hides any paper",),
    price=Decimal("6.00"),
)


def a_file(**changes: Any) -> DeliveredFile:
    """Return a file of a delivery with these values changed."""
    return replace(FILE, **changes)


def a_delivery(*files: DeliveredFile, **changes: Any) -> Delivery:
    """Return a delivery of these files, or of one, with these values changed."""
    plain = Delivery(
        lab=replace(LAB, currency="EUR"),
        icc_sha256=FACTS.icc_sha256,
        white=(255, 255, 255),
        rules="Rules",
        files=files or (FILE,),
        needed_by=datetime.date(2026, 12, 3),
    )
    return replace(plain, **changes)
