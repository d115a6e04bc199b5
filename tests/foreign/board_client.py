"""A foreign client of the feed: Python's `websockets`, with every message held against the JSON Schema.

Usage: board_client.py URL ACCESS_FILE SCHEMA [AUTHORITY]

Runs a small heat by hand: the floor starts it, lane 1's judge counts, a display watches. Ends with 0 and a line
`N checks held`, or with 1 and the check that failed. The feed must be freshly started, with its first heat's
lanes set and a countdown that a rehearsal speed makes short. With an authority's certificate URL is `wss://…`, and
Python's own TLS (OpenSSL) trusts that authority and nobody else.
"""

import asyncio
import json
import ssl
import sys
import time
import tomllib

import jsonschema
from websockets.asyncio.client import connect

SUBPROTOCOL = "fivemark.v1"
PATIENCE_S = 20

url, access_file, schema_file = sys.argv[1:4]
with open(access_file, "rb") as file:
    access = tomllib.load(file)
with open(schema_file, encoding="utf-8") as file:
    schema = json.load(file)
trust = ssl.create_default_context(cafile=sys.argv[4]) if len(sys.argv) > 4 else None
checks = 0


def validator(direction):
    part = dict(schema["properties"][direction])
    part["$defs"] = schema["$defs"]
    return jsonschema.Draft202012Validator(part)


FROM_CLIENT, FROM_FEED = validator("from_client"), validator("from_feed")


def check(holds, what):
    global checks
    checks += 1
    if not holds:
        sys.exit(f"check failed: {what}")


class Client:
    """One connection, joined. Its clock runs as fast as the feed's heat time, as the welcome asks."""

    def __init__(self, socket):
        self.socket = socket
        self.speed_milli = 1000

    def now_us(self):
        return time.monotonic_ns() // 1000 * self.speed_milli // 1000

    async def welcome(self):
        self.speed_milli = (await self.hear(of_type("welcome")))["speed_milli"]

    @classmethod
    async def join(cls, **join):
        socket = await connect(url, subprotocols=[SUBPROTOCOL], ssl=trust)
        check(socket.subprotocol == SUBPROTOCOL, "the feed chooses the subprotocol")
        client = cls(socket)
        await client.say({"type": "join", "device": f"python-{join['role']}", **join})
        return client

    async def say(self, message):
        FROM_CLIENT.validate(message)
        await self.socket.send(json.dumps(message))

    async def hear(self, wanted):
        """The next message for which `wanted` holds."""
        async with asyncio.timeout(PATIENCE_S):
            while True:
                text = await self.socket.recv()
                check(isinstance(text, str), "frames are text")
                message = json.loads(text)
                FROM_FEED.validate(message)
                if wanted(message):
                    return message


def of_type(name):
    return lambda message: message["type"] == name


def is_state(name):
    return lambda message: message["type"] == "delta" and message.get("heat", {}).get("state") == name


async def run_heat():
    floor = await Client.join(role="floor_operator", access_key=access["floor_operator"])
    await floor.welcome()
    snapshot = await floor.hear(of_type("snapshot"))
    heat = snapshot["titles"]["heat"]

    board = await Client.join(role="display", access_key=access["display"])
    await board.welcome()
    start = await board.hear(of_type("snapshot"))
    check(start["heat"]["state"] == "lanes_set", "a new heat has its lanes set")

    judge = await Client.join(role="lane_judge", access_key=access["lane_judge"]["1"], lane=1)
    await judge.welcome()

    # RFC 5905 section 8: theta and delta; section 10: of eight exchanges the one with the least delay.
    exchanges = []
    for _ in range(8):
        t1_us = judge.now_us()
        await judge.say({"type": "clock", "t1_us": t1_us})
        reply = await judge.hear(of_type("clock"))
        t4_us = judge.now_us()
        check(reply["t1_us"] == t1_us and reply["t3_us"] >= reply["t2_us"], "the clock exchange gives t1 back")
        exchanges.append({"add_us": ((reply["t2_us"] - t1_us) + (reply["t3_us"] - t4_us)) // 2,
                          "delay_us": (t4_us - t1_us) - (reply["t3_us"] - reply["t2_us"])})
    offset = min(exchanges, key=lambda exchange: exchange["delay_us"])

    def tally(number, **more):
        return {"type": "tally", "heat": heat, "run": 1, "lane": 1, "epoch": 77, "number": number, "call": "good",
                "stamp_ms": judge.now_us() // 1000, "offset": offset, **more}

    await judge.say(tally(1))
    ack = await judge.hear(of_type("ack"))
    check(ack["not_counted"]["code"] == "before_start", "a call before the start is recorded, not counted")

    for number, command in enumerate(["on_deck", "start_countdown"], start=1):
        await floor.say({"type": "floor", "id": number, "heat": heat, "command": command})
        ack = await floor.hear(of_type("ack"))
        check(ack["of"] == {"floor": {"id": number}}, "the floor's command is acknowledged by its id")
    await board.hear(is_state("running"))
    # Nobody finishes a rep in the clock's error after go: half a second here is five in the heat.
    await asyncio.sleep(0.5)

    for number in range(2, 7):
        await judge.say(tally(number))
        ack = await judge.hear(of_type("ack"))
        check(ack["of"]["tally"]["number"] == number, "acknowledgements come in order")
        check("not_counted" not in ack, "a good rep in a running heat counts")
        delta = await board.hear(lambda m: m["type"] == "delta" and any(l["lane"] == 1 for l in m.get("lanes", [])))
        lane = next(l for l in delta["lanes"] if l["lane"] == 1)
        check(lane["done"] == ack["done"], "the board sees the count that the judge was told")

    await judge.say(tally(6))
    again = await judge.hear(of_type("ack"))
    check(again["done"] == ack["done"], "a repeated number applies once")
    await judge.say(tally(9))
    gap = await judge.hear(of_type("gap"))
    check(gap["from"] == 7, "a hole in the numbers is asked for")

    await judge.say(tally(7, lane=2))
    refusal = await judge.hear(of_type("refusal"))
    check(refusal["code"] == "not_your_lane" and refusal["says"], "a lane's access key tallies that lane only")

    for client in (floor, board, judge):
        await client.socket.close()


asyncio.run(run_heat())
print(f"{checks} checks held")
