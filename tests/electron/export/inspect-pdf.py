"""Looks into a PDF with pikepdf (QPDF), independently of what wrote it, and prints JSON."""
import hashlib
import json
import sys
import xml.etree.ElementTree as xml

import pikepdf

NS = {
    "rdf": "http://www.w3.org/1999/02/22-rdf-syntax-ns#",
    "dc": "http://purl.org/dc/elements/1.1/",
    "pdf": "http://ns.adobe.com/pdf/1.3/",
    "xmp": "http://ns.adobe.com/xap/1.0/",
    "pdfaid": "http://www.aiim.org/pdfa/ns/id/",
}


def codes(operand):
    data = bytes(operand)
    return [int.from_bytes(data[i : i + 2], "big") for i in range(0, len(data) - 1, 2)]


pdf = pikepdf.open(sys.argv[1])
zero = 0
shown = 0
fonts = {}
marked = set()
unmarked_text = 0
for page in pdf.pages:
    for name, font in (page.get("/Resources", {}).get("/Font", {}) or {}).items():
        descriptor = font.DescendantFonts[0].FontDescriptor
        fonts[str(font.BaseFont)] = "/FontFile2" in descriptor or "/FontFile3" in descriptor
    depth = 0
    for operands, operator in pikepdf.parse_content_stream(page):
        op = str(operator)
        if op in ("BDC", "BMC"):
            depth += 1
            marked.add(str(operands[0]))
        elif op == "EMC":
            depth -= 1
        elif op in ("Tj", "TJ"):
            parts = operands[0] if op == "TJ" else [operands[0]]
            for part in parts:
                if isinstance(part, pikepdf.String):
                    glyphs = codes(part)
                    shown += len(glyphs)
                    zero += glyphs.count(0)
                    if depth == 0:
                        unmarked_text += len(glyphs)
    assert depth == 0, "marked content not closed"

types = {}


def walk(node):
    if isinstance(node, pikepdf.Array):
        for one in node:
            walk(one)
    elif isinstance(node, pikepdf.Dictionary) and "/S" in node:
        kind = str(node.S)
        types[kind] = types.get(kind, 0) + 1
        if kind == "/Figure":
            assert len(str(node.Alt)) > 0, "figure without a text"
        if "/K" in node:
            walk(node.K)


root = pdf.Root
walk(root.StructTreeRoot.get("/K", pikepdf.Array()))

packet = bytes(root.Metadata.read_bytes())
tree = xml.fromstring(packet)


def words(path):
    found = tree.find(path, NS)
    return None if found is None else found.text


files = []
names = root.Names.get("/EmbeddedFiles", {}).get("/Names", []) if "/Names" in root else []
for index in range(1, len(names), 2):
    spec = names[index]
    stream = spec.EF.F
    content = bytes(stream.read_bytes())
    files.append(
        {
            "name": str(spec.UF),
            "relationship": str(spec.AFRelationship),
            "mediaType": str(stream.Subtype),
            "size": int(stream.Params.Size),
            "isChecksumRight": bytes(stream.Params.CheckSum) == hashlib.md5(content).digest(),
            "isAssociated": any(one.objgen == spec.objgen for one in root.get("/AF", [])),
        }
    )

annotations = [
    {"subtype": str(a.Subtype), "flags": int(a.get("/F", 0))}
    for page in pdf.pages
    for a in page.get("/Annots", [])
]


def outline(item):
    out = []
    while item is not None:
        children = outline(item.First) if "/First" in item else []
        # ISO 32000-1, table 153: an item with descendants says how many.
        assert (abs(int(item.get("/Count", 0))) == len(children)), "bookmark without a count"
        out.append([str(item.Title), children])
        item = item.get("/Next")
    return out


info = pdf.docinfo
print(
    json.dumps(
        {
            "pages": len(pdf.pages),
            "glyphs": shown,
            "missingGlyphs": zero,
            "unmarkedGlyphs": unmarked_text,
            "fonts": fonts,
            "structure": types,
            "marked": sorted(marked),
            "isMarked": bool(root.MarkInfo.Marked),
            "language": str(root.Lang),
            "outputIntents": [str(one.S) for one in root.get("/OutputIntents", [])],
            "files": files,
            "annotations": annotations,
            "outline": outline(root.Outlines.First) if "/Outlines" in root and "/First" in root.Outlines else [],
            "hasId": "/ID" in pdf.trailer,
            "hasTransparencyGroup": any("/Group" in page for page in pdf.pages),
            "info": {str(k)[1:]: str(v) for k, v in info.items()},
            "xmp": {
                "part": words(".//pdfaid:part"),
                "conformance": words(".//pdfaid:conformance"),
                "title": words(".//dc:title/rdf:Alt/rdf:li"),
                "author": words(".//dc:creator/rdf:Seq/rdf:li"),
                "subject": words(".//dc:description/rdf:Alt/rdf:li"),
                "keywords": words(".//pdf:Keywords"),
                "producer": words(".//pdf:Producer"),
                "creator": words(".//xmp:CreatorTool"),
                "created": words(".//xmp:CreateDate"),
            },
        }
    )
)
