/* What a pseudo-terminal lacks to pass for a serial port, put in front of the C library of the browser (LD_PRELOAD).
 *
 * The browser and instrument.py share one small file per pseudo-terminal, the "wire" (struct below, little-endian):
 *   - modem lines (DTR, RTS from the browser; CTS, DSR, DCD, RI from the instrument), which a pty has not;
 *   - how often the port was opened and closed, and with which speed, bits and parity (a pty forces 8N);
 *   - bytes to be read before the next real ones: the marks by which a kernel tells a break or a parity error.
 * Exclusive use (TIOCEXCL) becomes a file lock, since a pty keeps the flag until its master closes.
 * Opening, reading, writing and hanging up stay the kernel's own. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <sys/ioctl.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <sys/sysmacros.h>
#include <unistd.h>

enum { MARKS_MOST = 64, DESCRIPTORS = 8192, FIRST_PTS_MAJOR = 136, LAST_PTS_MAJOR = 143 };
#define SET_TERMIOS2 0x402C542BUL

struct wire {
  volatile uint32_t from_browser; /* TIOCM_DTR | TIOCM_RTS, and bit 0 while a break is sent */
  volatile uint32_t from_instrument;
  volatile uint32_t opened, closed;
  volatile uint32_t cflag, speed, configured;
  volatile uint32_t marks;
  uint8_t mark[MARKS_MOST];
};

struct termios2_layout {
  uint32_t iflag, oflag, cflag, lflag;
  uint8_t line, cc[19];
  uint32_t ispeed, ospeed;
};

static struct wire *wires[DESCRIPTORS];

#define REAL(name) ((__typeof__(&name))dlsym(RTLD_NEXT, #name))

static int real_close(int fd) {
  static int (*f)(int);
  if (!f) f = REAL(close);
  return f(fd);
}

static ssize_t real_read(int fd, void *into, size_t most) {
  static ssize_t (*f)(int, void *, size_t);
  if (!f) f = REAL(read);
  return f(fd, into, most);
}

static struct wire *wire_of(int fd) { return fd >= 0 && fd < DESCRIPTORS ? wires[fd] : NULL; }

/* The wire's file for this descriptor, mapped; NULL if it is no pseudo-terminal of the rig. */
static struct wire *find_wire(int fd) {
  struct stat what;
  const char *rig = getenv("SERIAL_RIG");
  char path[512];
  if (!rig || fd < 0 || fd >= DESCRIPTORS || fstat(fd, &what) || !S_ISCHR(what.st_mode)) return NULL;
  unsigned group = major(what.st_rdev);
  if (group < FIRST_PTS_MAJOR || group > LAST_PTS_MAJOR) return NULL;
  snprintf(path, sizeof path, "%s/wires/%u", rig, (group - FIRST_PTS_MAJOR) * 256 + minor(what.st_rdev));
  int file = open(path, O_RDWR | O_CLOEXEC);
  if (file < 0) return NULL;
  void *mapped = mmap(NULL, sizeof(struct wire), PROT_READ | PROT_WRITE, MAP_SHARED, file, 0);
  real_close(file);
  return mapped == MAP_FAILED ? NULL : mapped;
}

static int take_port(int fd) {
  struct wire *wire = find_wire(fd);
  if (!wire) return -1;
  if (flock(fd, LOCK_EX | LOCK_NB)) {
    munmap(wire, sizeof *wire);
    errno = EBUSY;
    return -2;
  }
  wires[fd] = wire;
  wire->from_browser = TIOCM_DTR | TIOCM_RTS; /* both rise at open, as the kernel does it for a real port */
  __sync_fetch_and_add(&wire->opened, 1);
  return 0;
}

int ioctl(int fd, unsigned long request, ...) {
  static int (*real)(int, unsigned long, ...);
  va_list rest;
  va_start(rest, request);
  void *argument = va_arg(rest, void *);
  va_end(rest);
  if (!real) real = REAL(ioctl);

  if (request == TIOCEXCL) {
    int taken = take_port(fd);
    if (taken == -1) return real(fd, request, argument);
    return taken == 0 ? 0 : -1;
  }
  struct wire *wire = wire_of(fd);
  if (!wire) return real(fd, request, argument);

  const uint32_t outgoing = TIOCM_DTR | TIOCM_RTS;
  uint32_t asked = 0;
  if (request == TIOCMBIS || request == TIOCMBIC || request == TIOCMSET) asked = *(int *)argument & outgoing;
  switch (request) {
    case SET_TERMIOS2: {
      int done = real(fd, request, argument);
      if (done == 0) {
        const struct termios2_layout *settings = argument;
        wire->cflag = settings->cflag;
        wire->speed = settings->ospeed;
        __sync_fetch_and_add(&wire->configured, 1);
      }
      return done;
    }
    case TIOCMGET: *(int *)argument = (int)((wire->from_browser & outgoing) | wire->from_instrument); return 0;
    case TIOCMBIS: __sync_fetch_and_or(&wire->from_browser, asked); return 0;
    case TIOCMBIC: __sync_fetch_and_and(&wire->from_browser, ~asked); return 0;
    case TIOCMSET: wire->from_browser = (wire->from_browser & ~outgoing) | asked; return 0;
    case TIOCSBRK: __sync_fetch_and_or(&wire->from_browser, 1u); return 0;
    case TIOCCBRK: __sync_fetch_and_and(&wire->from_browser, ~1u); return 0;
    default: return real(fd, request, argument);
  }
}

ssize_t read(int fd, void *into, size_t most) {
  struct wire *wire = wire_of(fd);
  if (wire && wire->marks > 0 && wire->marks <= MARKS_MOST && most > wire->marks) {
    size_t ahead = wire->marks;
    memcpy(into, wire->mark, ahead);
    wire->marks = 0;
    ssize_t more = real_read(fd, (char *)into + ahead, most - ahead);
    return (ssize_t)ahead + (more > 0 ? more : 0);
  }
  return real_read(fd, into, most);
}

int close(int fd) {
  struct wire *wire = wire_of(fd);
  if (wire) {
    wires[fd] = NULL;
    wire->from_browser = 0;
    __sync_fetch_and_add(&wire->closed, 1);
    munmap(wire, sizeof *wire);
  }
  return real_close(fd);
}
