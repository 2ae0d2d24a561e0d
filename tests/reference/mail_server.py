"""A mail server for tests, by aiosmtpd: MODE CERTIFICATE_FOLDER.

It prints its port, then each message that it took as a line of JSON, as Python's own email parser reads it.

MODE is `starttls`, `implicit`, `bare` (it offers no encryption), `later` (it takes each message only the second time) or
`never` (it refuses every message).
"""
import asyncio
import json
import ssl
import sys
from email import message_from_bytes
from email.policy import default

from aiosmtpd.smtp import SMTP

mode, folder = sys.argv[1:]
seen = set()


class Keeper:
    async def handle_DATA(self, server, session, envelope):
        message = message_from_bytes(envelope.content, policy=default)
        known = message["message-id"]
        if mode == "never":
            return "550 5.1.1 no such mailbox here"
        if mode == "later" and envelope.rcpt_tos[0] not in seen:
            seen.add(envelope.rcpt_tos[0])
            return "451 4.7.1 try again later"
        print(json.dumps({
            "to": envelope.rcpt_tos,
            "names": [address.display_name for address in message["to"].addresses],
            "headers": message.keys(),
            "subject": message["subject"],
            "from": str(message["from"]),
            "id": known,
            "text": message.get_content(),
            "tls": server.transport.get_extra_info("ssl_object") is not None,
        }), flush=True)
        return "250 taken"


def context():
    made = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    made.load_cert_chain(f"{folder}/server.pem", f"{folder}/server.key")
    return made


async def main():
    tls = context()
    smtp = lambda: SMTP(Keeper(), hostname="mail.example", tls_context=tls if mode in ("starttls", "later", "never") else None,
                        require_starttls=mode == "starttls")
    loop = asyncio.get_running_loop()
    server = await loop.create_server(smtp, "127.0.0.1", 0, ssl=tls if mode == "implicit" else None)
    print(server.sockets[0].getsockname()[1], flush=True)
    await server.serve_forever()


asyncio.run(main())
