/* A wall clock that stands still, for compare.py: loaded into the program with LD_PRELOAD.
 *
 * The time is the number of milliseconds written as text in the file that FROZEN_CLOCK names; whoever writes another
 * number there moves the clock. The identity of the boot is hidden, so that the program keeps no boot clock beside it.
 * Every other clock runs on, since threads wait by them.
 */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/time.h>
#include <time.h>
#include <unistd.h>

static const char *const BOOT = "/proc/sys/kernel/random/boot_id";
static const char *text;

__attribute__((constructor)) static void begin(void) {
    const char *path = getenv("FROZEN_CLOCK");
    int (*real)(const char *, int, ...) = (int (*)(const char *, int, ...))dlsym(RTLD_NEXT, "open");
    int fd = path ? real(path, O_RDONLY | O_CLOEXEC) : -1;
    void *map = fd < 0 ? MAP_FAILED : mmap(NULL, 32, PROT_READ, MAP_SHARED, fd, 0);
    if (fd >= 0)
        close(fd);
    text = map == MAP_FAILED ? NULL : map;
}

static int frozen(struct timespec *to) {
    if (!text)
        return 0;
    long long ms = strtoll(text, NULL, 10);
    to->tv_sec = ms / 1000;
    to->tv_nsec = ms % 1000 * 1000000;
    return 1;
}

int clock_gettime(clockid_t which, struct timespec *to) {
    static int (*real)(clockid_t, struct timespec *);
    if ((which == CLOCK_REALTIME || which == CLOCK_REALTIME_COARSE) && frozen(to))
        return 0;
    if (!real)
        real = (int (*)(clockid_t, struct timespec *))dlsym(RTLD_NEXT, "clock_gettime");
    return real(which, to);
}

int gettimeofday(struct timeval *restrict to, void *restrict zone) {
    struct timespec now;
    (void)zone;
    clock_gettime(CLOCK_REALTIME, &now);
    to->tv_sec = now.tv_sec;
    to->tv_usec = now.tv_nsec / 1000;
    return 0;
}

time_t time(time_t *to) {
    struct timespec now;
    clock_gettime(CLOCK_REALTIME, &now);
    if (to)
        *to = now.tv_sec;
    return now.tv_sec;
}

#define OPENS(name)                                                                                                    \
    int name(const char *path, int flags, ...) {                                                                       \
        static int (*real)(const char *, int, ...);                                                                    \
        va_list rest;                                                                                                  \
        va_start(rest, flags);                                                                                         \
        int mode = va_arg(rest, int);                                                                                  \
        va_end(rest);                                                                                                  \
        if (strcmp(path, BOOT) == 0) {                                                                                 \
            errno = ENOENT;                                                                                            \
            return -1;                                                                                                 \
        }                                                                                                              \
        if (!real)                                                                                                     \
            real = (int (*)(const char *, int, ...))dlsym(RTLD_NEXT, #name);                                           \
        return real(path, flags, mode);                                                                                \
    }
OPENS(open)
OPENS(open64)
