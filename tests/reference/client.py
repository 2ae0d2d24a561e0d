"""A stranger's client: it uses only what server/wire/README.md says, and the websocket library of another language.

Arguments: the server's http address and the class code. It joins, waits for a step, prints one JSON line
for each thing it learned, reports a sore neck, and ends when the report was taken.
"""

import asyncio
import json
import sys
import time
import urllib.request
import uuid

from websockets.asyncio.client import connect


def say(**words):
    print(json.dumps(words), flush=True)


def join(base, code):
    body = json.dumps({"code": code, "name": "Stranger", "request": str(uuid.uuid4())}).encode()
    request = urllib.request.Request(
        f"{base}/api/join", data=body, headers={"content-type": "application/json"}
    )
    with urllib.request.urlopen(request) as answer:
        return json.load(answer)["stay"], answer.headers["set-cookie"].split(";")[0]


async def main(base, code):
    stay, cookie = join(base, code)
    say(joined=stay)
    url = base.replace("http", "ws") + f"/ws/{stay}"
    report = str(uuid.uuid4())
    command = str(uuid.uuid4())
    async with connect(
        url, subprotocols=["samebreath.v2"], origin=base, additional_headers={"cookie": cookie}
    ) as socket:
        say(subprotocol=socket.subprotocol)
        ask = {"kind": "clock_ask", "sent_ms": time.monotonic() * 1000, "visible": True, "round_trip_ms": None}
        await socket.send(json.dumps(ask))
        async for text in socket:
            message = json.loads(text)
            if message["kind"] == "clock":
                heard = time.monotonic() * 1000
                t1, t2, t3 = message["sent_ms"], message["received_ms"], message["answered_ms"]
                say(t1=t1, t2=t2, t3=t3, t4=heard)
            if message["kind"] == "stage" and message["stage"]["moves"]:
                move = message["stage"]["moves"][-1]
                say(step=move["step"], at=move["at"], offset_ms=move["offset_ms"], running=move["running"])
                said = {"where": "neck", "strength": {"word": "quite"}}
                body = {"do": "report", "report": report, "said": said}
                await socket.send(json.dumps({"kind": "seat", "id": command, "command": body}))
            if message["kind"] == "taken" and message["id"] == command:
                say(taken=report)
                return


asyncio.run(asyncio.wait_for(main(sys.argv[1], sys.argv[2]), 60))
