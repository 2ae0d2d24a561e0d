// A library to preload into the server. It records the writes, truncations and flushes of the database and of the log
// beside it, in order and with their bytes. From that one can work out what was safe on disk at any instant.

#define _GNU_SOURCE
#include <dlfcn.h>
#include <fcntl.h>
#include <pthread.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/syscall.h>
#include <time.h>
#include <unistd.h>

static pthread_mutex_t in_order = PTHREAD_MUTEX_INITIALIZER;

struct __attribute__((packed)) head {
    char kind; // w: a write, t: a truncation, s: a flush
    uint8_t file; // 1: the database, 2: its log
    uint32_t length;
    uint64_t offset;
    uint64_t at_ns;
};

static int ends_with(const char *text, const char *end) {
    size_t n = strlen(text), m = strlen(end);
    return n >= m && strcmp(text + n - m, end) == 0;
}

static uint8_t file_of(int fd) {
    char link[64], path[4096];
    snprintf(link, sizeof link, "/proc/self/fd/%d", fd);
    ssize_t n = readlink(link, path, sizeof path - 1);
    if (n < 0) return 0;
    path[n] = 0;
    if (ends_with(path, "samebreath.db")) return 1;
    return ends_with(path, "samebreath.db-wal") ? 2 : 0;
}

static void put(int fd, const void *bytes, size_t length) {
    for (const char *at = bytes; length > 0;) {
        ssize_t n = syscall(SYS_write, fd, at, length);
        if (n <= 0) abort();
        at += n;
        length -= n;
    }
}

static void keep(char kind, uint8_t file, uint64_t offset, const void *bytes, uint32_t length) {
    static int kept = -1;
    if (kept < 0) kept = syscall(SYS_openat, AT_FDCWD, getenv("WRITES_KEPT"), O_WRONLY | O_CREAT | O_APPEND, 0600);
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    struct head head = {kind, file, length, offset, now.tv_sec * 1000000000ull + now.tv_nsec};
    put(kept, &head, sizeof head);
    put(kept, bytes, length);
}

#define REAL(name) __typeof__(&name) real = (__typeof__(&name))dlsym(RTLD_NEXT, #name)

#define WRITES(name, off) \
    ssize_t name(int fd, const void *bytes, size_t length, off offset) { \
        REAL(name); \
        uint8_t file = file_of(fd); \
        if (!file) return real(fd, bytes, length, offset); \
        pthread_mutex_lock(&in_order); \
        ssize_t n = real(fd, bytes, length, offset); \
        if (n > 0) keep('w', file, offset, bytes, n); \
        pthread_mutex_unlock(&in_order); \
        return n; \
    }

#define CUTS(name, off) \
    int name(int fd, off length) { \
        REAL(name); \
        uint8_t file = file_of(fd); \
        if (!file) return real(fd, length); \
        pthread_mutex_lock(&in_order); \
        int failed = real(fd, length); \
        if (!failed) keep('t', file, length, "", 0); \
        pthread_mutex_unlock(&in_order); \
        return failed; \
    }

// Writes by other threads during a flush may or may not be part of it, so they count as not flushed.
#define FLUSHES(name) \
    int name(int fd) { \
        REAL(name); \
        uint8_t file = file_of(fd); \
        if (!file) return real(fd); \
        pthread_mutex_lock(&in_order); \
        int failed = real(fd); \
        if (!failed) keep('s', file, 0, "", 0); \
        pthread_mutex_unlock(&in_order); \
        return failed; \
    }

WRITES(pwrite, off_t)
WRITES(pwrite64, off64_t)
CUTS(ftruncate, off_t)
CUTS(ftruncate64, off64_t)
FLUSHES(fsync)
FLUSHES(fdatasync)
