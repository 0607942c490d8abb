"""HTML to PDF, and QR codes, for every document of the project.

Nothing here fetches from a network: a document is made of its template, our own static files
(``static:practicals/icons/caution.svg``), parts that the caller hands over (``part:photo.jpg``)
and ``data:`` addresses. WeasyPrint is imported only when a document is made, so that a machine
without its native libraries still runs everything but PDF.
"""

import ctypes
import ctypes.util
import hashlib
import os
import tempfile
import threading
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path
from typing import Any
from urllib.parse import unquote

import segno
from django.conf import settings
from django.contrib.staticfiles import finders
from django.template.loader import render_to_string
from django.utils.html import format_html
from django.utils.safestring import SafeString

# What WeasyPrint opens, and the Debian package that brings it.
NATIVE_LIBRARIES = {
    "gobject-2.0": ("libgobject-2.0.so.0", "libpango-1.0-0"),
    "pango-1.0": ("libpango-1.0.so.0", "libpango-1.0-0"),
    "harfbuzz": ("libharfbuzz.so.0", "libpango-1.0-0"),
    "fontconfig": ("libfontconfig.so.1", "libpangoft2-1.0-0"),
    "pangoft2-1.0": ("libpangoft2-1.0.so.0", "libpangoft2-1.0-0"),
    "harfbuzz-subset": ("libharfbuzz-subset.so.0", "libharfbuzz-subset0"),
}
DEBIAN_PACKAGES = ("libpango-1.0-0", "libpangoft2-1.0-0", "libharfbuzz-subset0")
FONT_FILES = ("IBMPlexSans-Regular.woff2", "IBMPlexSans-Italic.woff2", "IBMPlexSans-SemiBold.woff2")
QUIET_ZONE = 4  # modules of white round a QR code, ISO/IEC 18004

# System fonts come after ours: they serve only letters of names that our face does not have.
FONT_CONFIGURATION = """<?xml version="1.0"?>
<!DOCTYPE fontconfig SYSTEM "urn:fontconfig:fonts.dtd">
<fontconfig>
  <dir>{fonts}</dir>
  <dir>/usr/share/fonts</dir>
  <cachedir>{cache}</cachedir>
  <alias binding="strong"><family>sans-serif</family><prefer><family>IBM Plex Sans</family></prefer></alias>
  <alias binding="strong"><family>serif</family><prefer><family>IBM Plex Sans</family></prefer></alias>
  <alias binding="strong"><family>monospace</family><prefer><family>IBM Plex Sans</family></prefer></alias>
</fontconfig>
"""

# PDF/A-3 allows only described properties: the claim of PDF/UA-1 brings its own description
# (ISO 19005-3, 6.6.2.3; ISO 14289-1, clause 5).
ACCESSIBLE_CLAIM = b"""<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about="" xmlns:pdfuaid="http://www.aiim.org/pdfua/ns/id/" pdfuaid:part="1"/>
<rdf:Description rdf:about="" xmlns:pdfaExtension="http://www.aiim.org/pdfa/ns/extension/"
 xmlns:pdfaSchema="http://www.aiim.org/pdfa/ns/schema#" xmlns:pdfaProperty="http://www.aiim.org/pdfa/ns/property#">
<pdfaExtension:schemas><rdf:Bag><rdf:li rdf:parseType="Resource">
<pdfaSchema:schema>PDF/UA identification schema</pdfaSchema:schema>
<pdfaSchema:namespaceURI>http://www.aiim.org/pdfua/ns/id/</pdfaSchema:namespaceURI>
<pdfaSchema:prefix>pdfuaid</pdfaSchema:prefix>
<pdfaSchema:property><rdf:Seq><rdf:li rdf:parseType="Resource">
<pdfaProperty:name>part</pdfaProperty:name><pdfaProperty:valueType>Integer</pdfaProperty:valueType>
<pdfaProperty:category>internal</pdfaProperty:category>
<pdfaProperty:description>Part of ISO 14289 to which the file conforms</pdfaProperty:description>
</rdf:li></rdf:Seq></pdfaSchema:property>
</rdf:li></rdf:Bag></pdfaExtension:schemas></rdf:Description></rdf:RDF>"""

_first_import = threading.Lock()


class PdfUnavailable(RuntimeError):
    """A machine lacks libraries that PDFs need; everything else works without them."""

    def __init__(self, missing: Sequence[str]) -> None:
        self.missing = list(missing)
        super().__init__(
            f"PDFs cannot be made on this machine: {', '.join(missing)} missing. On Debian, install "
            f"{' '.join(DEBIAN_PACKAGES)} with apt-get; everything but PDFs works without them."
        )


class PartMissing(LookupError):
    """A document names a picture or file that is neither shipped nor handed over."""


@dataclass(frozen=True)
class Attachment:
    """A file inside the PDF; both dates are said so that the same evidence gives the same bytes."""

    name: str
    data: bytes
    created: datetime
    modified: datetime
    description: str = ""
    relationship: str = "Data"


def missing_native_libraries() -> list[str]:
    """Names of the native libraries that WeasyPrint needs and this machine cannot open."""
    return [name for name, (file_name, _) in NATIVE_LIBRARIES.items() if not _opens(name, file_name)]


def render_pdf(
    template: str,
    context: Mapping[str, Any],
    *,
    title: str,
    created: datetime,
    attachments: Sequence[Attachment] = (),
    parts: Mapping[str, bytes] | None = None,
    variant: str = "pdf/a-3a",
) -> bytes:
    """
    Make a PDF of a template; the same input gives the same bytes.

    Parameters
    ----------
    template : str
        A template that extends ``documents/base.html`` [-]
    context : Mapping
        What the template shows; ``centre`` brings the line about invented data [-]
    title : str
        Stands on every page and in the file's properties [-]
    created : datetime
        Date of the document, with its time zone; printed on every page [-]
    attachments : Sequence of Attachment
        Files inside the PDF, such as raw readings as CSV [-]
    parts : Mapping, optional
        Pictures that the template names as ``part:<name>`` [-]
    variant : str
        ``pdf/a-3a`` for the archive, with PDF/UA-1 claimed beside it [-]

    Returns
    -------
    bytes
        The file.

    Raises
    ------
    PdfUnavailable
        When native libraries are missing.
    PartMissing
        When the template names a picture that nobody provides.
    ValueError
        When `created` has no time zone.

    References
    ----------
    .. [1] ISO 19005-3:2012, Electronic document file format for long-term preservation, part 3.
    .. [2] ISO 14289-1:2014, Electronic document file format enhancement for accessibility.
    """
    if created.tzinfo is None:
        raise ValueError("A document's date needs its time zone.")
    weasyprint = _weasyprint()
    html = render_to_string(
        template,
        {
            **context,
            "document_title": title,
            "document_created": created,
            "document_created_utc": created.astimezone(UTC).isoformat(timespec="seconds"),
        },
    )
    options: dict[str, Any] = {
        "pdf_variant": variant,
        "attachments": [_embedded(weasyprint, attachment) for attachment in attachments],
    }
    if variant.endswith("a"):
        options["xmp_metadata"] = [BytesIO(ACCESSIBLE_CLAIM)]
    try:
        made: bytes = weasyprint.HTML(
            string=html, base_url="document:/", url_fetcher=_Parts(parts or {})
        ).write_pdf(**options)
    except weasyprint.urls.FatalURLFetchingError as error:
        raise PartMissing(f"The document {template} names a part that is not there: {error}") from error
    return made


def qr_svg(text: str, *, title: str = "", size_mm: float | None = None) -> SafeString:
    """
    A QR code as SVG without inline style, with its quiet zone, black on white in every theme.

    Parameters
    ----------
    text : str
        What the code says [-]
    title : str
        Text alternative; by default names the text itself [-]
    size_mm : float, optional
        Width on paper; on a page the class ``qr`` decides [mm]

    Returns
    -------
    SafeString
        An ``svg`` element.

    References
    ----------
    .. [1] ISO/IEC 18004:2024, QR code bar code symbology specification.
    """
    rows = [list(row) for row in segno.make_qr(text, error="m").matrix]
    side = len(rows) + 2 * QUIET_ZONE
    path = "".join(
        f"M{x + QUIET_ZONE} {y + QUIET_ZONE}h1v1h-1z"
        for y, row in enumerate(rows)
        for x, dark in enumerate(row)
        if dark
    )
    size = format_html(' width="{0}mm" height="{0}mm"', size_mm) if size_mm else ""
    return format_html(
        '<svg class="qr" role="img" viewBox="0 0 {side} {side}"{size} shape-rendering="crispEdges" '
        'xmlns="http://www.w3.org/2000/svg"><title>{title}</title>'
        '<rect width="{side}" height="{side}" fill="#fff"/><path fill="#000" d="{path}"/></svg>',
        side=side,
        size=size,
        title=title or f"QR code: {text}",
        path=path,
    )


class _Parts:
    """Answers WeasyPrint's requests from the project and the caller, and from nowhere else."""

    _fail_on_errors = True  # a missing picture stops the document instead of leaving a hole in it

    def __init__(self, parts: Mapping[str, bytes]) -> None:
        self.parts = parts

    def __call__(self, url: str) -> Any:
        from weasyprint.urls import URLFetcher, URLFetcherResponse

        scheme, _, name = url.partition(":")
        name = unquote(name)
        if scheme == "data":
            return URLFetcher(allowed_protocols=["data"]).fetch(url)
        if scheme == "static" and (found := finders.find(name)):
            return URLFetcherResponse(url, Path(found).read_bytes())
        if scheme == "part" and name in self.parts:
            return URLFetcherResponse(url, self.parts[name])
        raise PartMissing(url[:200])


def _opens(name: str, file_name: str) -> bool:
    for candidate in (file_name, ctypes.util.find_library(name)):
        if candidate:
            try:
                ctypes.CDLL(candidate)
            except OSError:
                continue
            return True
    return False


def _weasyprint() -> Any:
    """WeasyPrint, told of our fonts before its first import reads the configuration."""
    with _first_import:
        if missing := missing_native_libraries():
            raise PdfUnavailable(missing)
        os.environ["FONTCONFIG_FILE"] = str(_font_configuration())
        import weasyprint

    return weasyprint


def _font_configuration() -> Path:
    """
    A file that names our fonts, made once per set of fonts in the data folder.

    The pages' compressed files are unpacked, since the PDF embeds parts of the plain ones: pages and
    PDFs use the same drawings of the same letters.
    """
    sources = [_font_source(name) for name in FONT_FILES]
    digest = hashlib.sha256(FONT_CONFIGURATION.encode() + b"".join(map(Path.read_bytes, sources))).hexdigest()
    folder = Path(settings.HOME) / f"fonts-{digest[:16]}"
    configuration = folder / "fonts.conf"
    if not configuration.exists():
        _unpack_fonts(sources, folder)
    return configuration


def _font_source(name: str) -> Path:
    found = finders.find(f"practicals/fonts/{name}")
    if not found:
        raise PartMissing(f"The font {name} is missing from the static files.")
    return Path(found)


def _unpack_fonts(sources: Sequence[Path], folder: Path) -> None:
    from fontTools.ttLib import TTFont

    folder.parent.mkdir(parents=True, exist_ok=True)
    fresh = Path(tempfile.mkdtemp(prefix="fonts-", dir=folder.parent))
    for source in sources:
        font = TTFont(source, recalcTimestamp=False)
        font.flavor = None
        font.save(fresh / f"{source.stem}.ttf")
    (fresh / "fonts.conf").write_text(FONT_CONFIGURATION.format(fonts=folder, cache=folder / "cache"))
    try:
        fresh.rename(folder)
    except OSError:  # another process was first: its fonts are the same
        for made in fresh.iterdir():
            made.unlink()
        fresh.rmdir()


def _embedded(weasyprint: Any, attachment: Attachment) -> Any:
    return weasyprint.Attachment(
        string=attachment.data,
        name=attachment.name,
        description=attachment.description or attachment.name,
        created=attachment.created,
        modified=attachment.modified,
        relationship=attachment.relationship,
    )
