#!/usr/bin/env python3
"""One instrument of the serial rig: owns a pseudo-terminal and lets the browser's own Web Serial find it.

usage: instrument.py RIG SETTINGS
  RIG       the rig's folder, also given to the browser
  SETTINGS  JSON: port (0..3), rig (0..13), vendor, product (hex), name, serial, paced (bytes leave at the opened speed)

Standard input: one JSON object a line, {"do": …}; standard output: one JSON object a line, {"event": …}. Bytes as base64.
  send bytes | unplug [hangUp, announce] | plug | hold | release | lines cts dsr dcd ri | mark bytes | quit
  ready | opened | configured baud bits parity stop | lines dtr rts | closed | written bytes | dropped count | done

How the browser is convinced: it lists the devices that libudev reports for subsystem tty and keeps those whose device
number belongs to a serial driver in /proc/tty/drivers. libudev reads /run/udev/data/c4:N for the text console N, and
that file may name another device file and number. So one unused console lends its place in /sys to one instrument.
Needs root: the hot-plug message goes out on the kernel's netlink group that udevd uses. Standard library only.
"""
import base64
import errno
import fcntl
import json
import mmap
import os
import select
import socket
import struct
import sys
import termios
import time

RIG = os.path.abspath(sys.argv[1])
ASKED = json.loads(sys.argv[2])
PORT = ASKED.get('port', 0)
SERIAL_MAJOR = 240 + ASKED.get('rig', 0)        # 240..254 are free for local use; the rig's drivers file calls it serial
CONSOLE = 63 - 4 * ASKED.get('rig', 0) - PORT   # the text console that lends its place in /sys
DEVICE_FILE = f'{RIG}/dev/ttyACM{PORT}'
UDEV_ENTRY = f'{RIG}/udev/data/c4:{CONSOLE}'
SYSFS_PATH = os.path.realpath(f'/sys/class/tty/tty{CONSOLE}').removeprefix('/sys')

# from linux/ioctl: get the pty's number, unlock it
TIOCGPTN, TIOCSPTLCK = 0x80045430, 0x40045431
WIRE = struct.Struct('<8I')                     # struct wire of port-shim.c, up to the marks
MARKS_AT, MARK_BYTES_AT, WIRE_SIZE = 28, 32, 96
CTS, DSR, DCD, RI = 0x20, 0x100, 0x40, 0x80
BITS = {0x00: 5, 0x10: 6, 0x20: 7, 0x30: 8}
NAMED_SPEEDS = {value: int(name[1:]) for name, value in vars(termios).items() if name[0] == 'B' and name[1:].isdigit()}
PACKET_BYTES, PACKET_S = 62, 0.016              # how a USB adapter gathers bytes


def tell(event, **facts):
    sys.stdout.write(json.dumps({'event': event, **facts}) + '\n')
    sys.stdout.flush()


class Listing:
    """What libudev says about the port, and the hot-plug messages."""

    def __init__(self):
        self.announced = False

    def properties(self, present):
        # Number 0 belongs to no serial driver: the browser passes the entry over.
        found = {'DEVNAME': DEVICE_FILE, 'MAJOR': str(SERIAL_MAJOR if present else 0), 'MINOR': str(PORT)}
        if ASKED.get('vendor'):
            name = ASKED.get('name', 'Test instrument')
            found |= {'ID_BUS': 'usb', 'ID_VENDOR_ID': ASKED['vendor'], 'ID_MODEL_ID': ASKED['product'],
                      'ID_MODEL': name.replace(' ', '_'), 'ID_MODEL_ENC': name.replace(' ', '\\x20')}
            if ASKED.get('serial'):
                found['ID_SERIAL_SHORT'] = ASKED['serial']
        return found

    def write(self, present):
        lines = [f'E:{key}={value}' for key, value in self.properties(present).items()]
        with open(UDEV_ENTRY + '.new', 'w') as file:
            file.write('\n'.join(['I:1000000', *lines, 'G:systemd', 'V:1', '']))
        os.rename(UDEV_ENTRY + '.new', UDEV_ENTRY)

    def announce(self, action):
        said = {'ACTION': action, 'DEVPATH': SYSFS_PATH, 'SUBSYSTEM': 'tty', 'USEC_INITIALIZED': '1',
                'SEQNUM': str(time.time_ns() // 1_000_000), **self.properties(True)}
        body = b''.join(f'{key}={value}\0'.encode() for key, value in said.items())
        # udevd's frame: name, magic, sizes, and the hash (MurmurHash2, seed 0) of the subsystem "tty" for its filter
        frame = struct.pack('=8s', b'libudev\0') + struct.pack('>I', 0xfeedcafe)
        frame += struct.pack('=III', 40, 40, len(body)) + struct.pack('>I', murmur_of(b'tty')) + bytes(12)
        with socket.socket(socket.AF_NETLINK, socket.SOCK_RAW, 15) as out:
            out.bind((0, 0))
            out.sendto(frame + body, (0, 2))
        self.announced = action == 'add'


def murmur_of(text):
    """MurmurHash2 of up to 7 bytes, seed 0 (the public algorithm)."""
    multiplier, mask = 0x5bd1e995, 0xffffffff
    value = len(text)
    while len(text) >= 4:
        word = int.from_bytes(text[:4], 'little') * multiplier & mask
        word = (word ^ word >> 24) * multiplier & mask
        value, text = value * multiplier & mask ^ word, text[4:]
    if text:
        value = (value ^ int.from_bytes(text, 'little')) * multiplier & mask
    value = (value ^ value >> 13) * multiplier & mask
    return value ^ value >> 15


class Wire:
    """The pseudo-terminal and the shared file that the browser's shim reads and writes."""

    def __init__(self):
        self.master = os.open('/dev/ptmx', os.O_RDWR | os.O_NOCTTY | os.O_NONBLOCK)
        fcntl.ioctl(self.master, TIOCSPTLCK, struct.pack('i', 0))
        self.number = struct.unpack('i', fcntl.ioctl(self.master, TIOCGPTN, bytes(4)))[0]
        self.path = f'/dev/pts/{self.number}'
        slave = os.open(self.path, os.O_RDWR | os.O_NOCTTY)
        modes = termios.tcgetattr(slave)
        modes[0] = modes[1] = modes[3] = 0
        modes[2] = termios.CS8 | termios.CREAD | termios.CLOCAL
        termios.tcsetattr(slave, termios.TCSANOW, modes)
        self.file = f'{RIG}/wires/{self.number}'
        with open(self.file, 'wb') as file:
            file.write(bytes(WIRE_SIZE))
        with open(self.file, 'r+b') as file:
            self.shared = mmap.mmap(file.fileno(), WIRE_SIZE)
        struct.pack_into('<I', self.shared, 4, CTS | DSR | DCD)
        os.close(slave)                         # from here the master says "hung up" until somebody opens
        os.symlink(self.path, DEVICE_FILE + '.new')
        os.rename(DEVICE_FILE + '.new', DEVICE_FILE)
        self.last = WIRE.unpack_from(self.shared)
        self.speed = 9600
        self.held = None

    def look(self):
        """Tells what the browser did since the last look."""
        now, old = WIRE.unpack_from(self.shared), self.last
        self.last = now
        for _ in range(now[2] - old[2]):
            tell('opened')
        if now[6] != old[6]:
            cflag = now[4]
            self.speed = NAMED_SPEEDS.get(cflag & 0o10017, now[5])
            parity = ('odd' if cflag & 0x200 else 'even') if cflag & 0x100 else 'none'
            tell('configured', baud=self.speed, bits=BITS[cflag & 0x30], parity=parity, stop=2 if cflag & 0x40 else 1)
        if now[0] != old[0]:
            tell('lines', dtr=bool(now[0] & termios.TIOCM_DTR), rts=bool(now[0] & termios.TIOCM_RTS))
        for _ in range(now[3] - old[3]):
            tell('closed')

    def is_open(self):
        poll = select.poll()
        poll.register(self.master, select.POLLHUP)
        return not poll.poll(0)

    def set_lines(self, **lines):
        bits = {'cts': CTS, 'dsr': DSR, 'dcd': DCD, 'ri': RI}
        struct.pack_into('<I', self.shared, 4, sum(bits[name] for name, up in lines.items() if up))

    def mark(self, marks):
        self.shared[MARK_BYTES_AT:MARK_BYTES_AT + len(marks)] = marks
        struct.pack_into('<I', self.shared, MARKS_AT, len(marks))

    def hold(self):
        self.held = os.open(self.path, os.O_RDWR | os.O_NOCTTY)
        fcntl.flock(self.held, fcntl.LOCK_EX | fcntl.LOCK_NB)

    def release(self):
        if self.held is not None:
            os.close(self.held)
            self.held = None

    def hang_up(self):
        self.look()
        self.release()
        for file in (DEVICE_FILE, self.file):
            os.unlink(file)
        os.close(self.master)


class Line:
    """Bytes on their way to the browser: at once, or at the opened speed in an adapter's packets."""

    def __init__(self):
        self.waiting = bytearray()
        self.packet = bytearray()
        self.moved_at = self.packet_at = time.monotonic()

    def clear(self):
        self.waiting.clear()
        self.packet.clear()

    def push(self, wire):
        if not ASKED.get('paced'):
            del self.waiting[:self.write(wire, self.waiting[:4096])]
            return
        now = time.monotonic()
        if not self.waiting:
            self.moved_at = now
        count = min(len(self.waiting), int((now - self.moved_at) * wire.speed / 10))
        if count > 0:
            self.packet += self.waiting[:count]
            del self.waiting[:count]
            self.moved_at += count * 10 / wire.speed
        while len(self.packet) >= PACKET_BYTES or (self.packet and now - self.packet_at >= PACKET_S):
            piece = bytes(self.packet[:PACKET_BYTES])
            del self.packet[:PACKET_BYTES]
            self.packet_at = now
            lost = len(piece) - self.write(wire, piece)
            if lost > 0:                        # an adapter has nowhere to keep them
                tell('dropped', count=lost)

    @staticmethod
    def write(wire, data):
        if not data:
            return 0
        try:
            return os.write(wire.master, data)
        except BlockingIOError:
            return 0


def main():
    listing, line, wire = Listing(), Line(), None

    def plug(announce):
        nonlocal wire
        if wire is None:
            wire = Wire()
        listing.write(True)
        if announce and not listing.announced:
            listing.announce('add')
        listing.announced = True

    def unplug(hang_up=True, announce=True):
        nonlocal wire
        if hang_up and wire is not None:
            wire.hang_up()                      # the hang-up first, then the event: the usual order of a pulled plug
            wire = None
            line.clear()
        if announce:
            listing.write(False)
            listing.announce('remove')

    def obey(order):
        what = order.pop('do')
        if what == 'send':
            if wire is not None and wire.is_open():
                line.waiting.extend(base64.b64decode(order['bytes']))
            return True                         # nobody listens: the bytes go nowhere, as on a real line
        if what == 'quit':
            return False
        if what == 'unplug':
            unplug(order.get('hangUp', True), order.get('announce', True))
        elif what == 'plug':
            plug(True)
        elif what == 'hold':
            wire.hold()
        elif what == 'release':
            wire.release()
        elif what == 'lines':
            wire.set_lines(**order)
        elif what == 'mark':
            wire.mark(base64.b64decode(order['bytes']))
        tell('done', what=what)
        return True

    plug(False)
    tell('ready', pts=wire.path)
    os.set_blocking(0, False)
    orders, going = b'', True
    while going:
        watched = [0] + ([wire.master] if wire is not None and wire.is_open() else [])
        readable, _, _ = select.select(watched, [], [], 0.001 if line.waiting or line.packet else 0.004)
        if 0 in readable:
            part = os.read(0, 65536)
            if not part:
                break                           # the test is gone
            *lines, orders = (orders + part).split(b'\n')
            for text in lines:
                going = obey(json.loads(text)) and going
        if wire is None:
            continue
        wire.look()
        if wire.master in readable:
            try:
                part = os.read(wire.master, 65536)
                if part:
                    tell('written', bytes=base64.b64encode(part).decode())
            except OSError as error:
                if error.errno not in (errno.EIO, errno.EAGAIN):
                    raise
                line.clear()                    # the last opener closed
        line.push(wire)
    if wire is not None:
        wire.hang_up()
    os.unlink(UDEV_ENTRY)


main()
