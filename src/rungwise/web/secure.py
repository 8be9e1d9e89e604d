"""What phones are told of the shop's authority, and the door where they get it."""

from __future__ import annotations

import plistlib
import uuid
from dataclasses import dataclass
from urllib.parse import quote

from fastapi import APIRouter, Request, Response
from fastapi.responses import RedirectResponse
from starlette.types import ASGIApp, Receive, Scope, Send

CERTIFICATE = "/authority.crt"
PROFILE = "/authority.mobileconfig"
HERE = ("/phone", CERTIFICATE, PROFILE)
"""What a phone is shown before it trusts the server."""

router = APIRouter(include_in_schema=False)


@dataclass(frozen=True)
class Secure:
    """The authority of a shop, as a phone gets it.

    der: its certificate. fingerprint: in pairs. door: the plain address where it is told how to
    install it. address: of the pages themselves.
    """

    der: bytes
    fingerprint: str
    door: str
    address: str

    @property
    def profile(self) -> bytes:
        """The certificate as a configuration profile, the form in which iPhones take one."""
        own = str(uuid.uuid5(uuid.NAMESPACE_OID, self.fingerprint))
        held = {
            "PayloadType": "com.apple.security.root",
            "PayloadVersion": 1,
            "PayloadIdentifier": f"rungwise.authority.{own}",
            "PayloadUUID": own,
            "PayloadDisplayName": "Rungwise",
            "PayloadCertificateFileName": "authority.crt",
            "PayloadContent": self.der,
        }
        whole = str(uuid.uuid5(uuid.NAMESPACE_OID, own))
        return plistlib.dumps(
            {
                "PayloadType": "Configuration",
                "PayloadVersion": 1,
                "PayloadIdentifier": f"rungwise.{own}",
                "PayloadUUID": whole,
                "PayloadDisplayName": "Rungwise, the shop's own server",
                "PayloadDescription": "Lets this device trust the shop's Rungwise server.",
                "PayloadContent": [held],
            }
        )


@router.get(CERTIFICATE)
def certificate(request: Request) -> Response:
    """The authority's certificate; 404 where the server speaks plain HTTP."""
    return _file(request, "application/x-x509-ca-cert", "rungwise-authority.crt")


@router.get(PROFILE)
def profile(request: Request) -> Response:
    """The same as a profile."""
    return _file(request, "application/x-apple-aspen-config", "rungwise.mobileconfig")


def _file(request: Request, media_type: str, name: str) -> Response:
    secure: Secure | None = request.app.state.house.secure
    if secure is None:
        return Response("This server has no authority of its own.", 404, media_type="text/plain")
    content = secure.profile if name.endswith("mobileconfig") else secure.der
    told = {"content-disposition": f'attachment; filename="{name}"'}
    return Response(content, media_type=media_type, headers=told)


class Door:
    """The plain door: how to trust the server, and the way on for whoever came without the s.

    inside: the app, whose page for phones is shown here too.
    """

    def __init__(self, secure: Secure, inside: ASGIApp) -> None:
        self.inside = inside
        self.address = secure.address.rstrip("/")

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One request."""
        if scope["type"] != "http":
            return
        path, query = scope["path"], scope.get("query_string", b"").decode("latin-1")
        if path in HERE or path.startswith("/static/"):
            await self.inside(scope, receive, send)
        else:
            to = "/phone" if path == "/" else f"{self.address}{quote(path)}?{query}".rstrip("?")
            await RedirectResponse(to, status_code=307)(scope, receive, send)
