"""Writes a log as the csv module of Python writes it for spreadsheets, in three dialects."""
import csv
import json
from pathlib import Path

HERE = Path(__file__).parent
HEADER = (
    "kit,step,date,time,volume_set,completed,child_rating,parent_rating,signs,stopped_by,"
    "interrupted,volume_touched,note"
).split(",")
KIT = "7KMP-4XCW"
ROWS = [
    [KIT, 1, "2027-06-01", "18:00", "yes", "yes", 1, 0, "", "", "no", "no", 'Said "more!", twice'],
    [KIT, 2, "2027-06-02", "07:30", "yes", "no", 6, 7, "ears;cried;asked_stop", "child", "no", "no", "a;b,c\td"],
    [KIT, 2, "2027-06-03", "", "yes", "yes", "", 3, "", "", "no", "", "two lines:\nthe second, with \"quotes\""],
    [KIT, 2.5, "2027-06-04", "12:00", "no", "yes", 10, 2, "ringing", "", "no", "yes", "Übermüdet \U0001F634"],
    [KIT, 3, "2027-06-05", "09:05", "yes", "no", 0, 0, "", "outside", "yes", "no", ""],
]


class Semicolons(csv.excel):
    delimiter = ";"
    quoting = csv.QUOTE_ALL


for name, dialect, encoding in (
    ("excel.csv", csv.excel, "utf-8-sig"),
    ("excel-tab.tsv", csv.excel_tab, "utf-8"),
    ("semicolons.csv", Semicolons, "utf-8-sig"),
):
    with open(HERE / name, "w", newline="", encoding=encoding) as file:
        writer = csv.writer(file, dialect)
        writer.writerow(HEADER)
        writer.writerows(ROWS)

(HERE / "rows.json").write_text(
    json.dumps([[str(cell) for cell in row] for row in ROWS], ensure_ascii=False, indent=2) + "\n",
    encoding="utf-8",
)
