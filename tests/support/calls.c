/* Loaded before the program (LD_PRELOAD): the calls by which it changes files are counted, and one of them kills the
 * process, fails, is cut short or waits. Set by the environment:
 *   THAW_CALL_KILL=N    SIGKILL at the N-th call, before it is done
 *   THAW_CALL_FAIL=N    the N-th call fails with THAW_CALL_ERRNO
 *   THAW_CALL_SHORT=N   a write takes N bytes at most, and every second one is interrupted
 *   THAW_CALL_SLOW=N    a rename waits N ms before
 *   THAW_CALL_COUNT=FILE  the number of calls is written there at the end */
#define _GNU_SOURCE

#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdarg.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <sys/types.h>
#include <time.h>
#include <unistd.h>

static atomic_long n_calls, n_writes;

static long setting(const char *name)
{
    const char *text = getenv(name);
    return text ? strtol(text, NULL, 10) : 0;
}

/* True if this call is to fail; errno is set then. */
static int strikes(void)
{
    const long call = atomic_fetch_add(&n_calls, 1) + 1;
    if (call == setting("THAW_CALL_KILL")) {
        kill(getpid(), SIGKILL);
    }
    if (call == setting("THAW_CALL_FAIL")) {
        errno = (int)setting("THAW_CALL_ERRNO");
        return 1;
    }
    return 0;
}

#define REAL(type, name, parameters)                                                               \
    type(*real) parameters;                                                                        \
    *(void **)(&real) = dlsym(RTLD_NEXT, name)

int open(const char *path, int flags, ...)
{
    REAL(int, "open", (const char *, int, ...));
    mode_t mode = 0;
    if (flags & O_CREAT) {
        va_list args;
        va_start(args, flags);
        mode = va_arg(args, mode_t);
        va_end(args);
        if (strikes()) {
            return -1;
        }
    }
    return real(path, flags, mode);
}

ssize_t write(int file, const void *bytes, size_t n)
{
    REAL(ssize_t, "write", (int, const void *, size_t));
    const size_t most = (size_t)setting("THAW_CALL_SHORT");
    if (strikes()) {
        return -1;
    }
    if (most > 0 && atomic_fetch_add(&n_writes, 1) % 2 == 1) {
        errno = EINTR;
        return -1;
    }
    return real(file, bytes, most > 0 && n > most ? most : n);
}

int fsync(int file)
{
    REAL(int, "fsync", (int));
    return strikes() ? -1 : real(file);
}

int rename(const char *from, const char *to)
{
    REAL(int, "rename", (const char *, const char *));
    const long slow_ms = setting("THAW_CALL_SLOW");
    if (slow_ms > 0) {
        nanosleep(&(struct timespec){slow_ms / 1000, slow_ms % 1000 * 1000000L}, NULL);
    }
    return strikes() ? -1 : real(from, to);
}

int mkdir(const char *path, mode_t mode)
{
    REAL(int, "mkdir", (const char *, mode_t));
    return strikes() ? -1 : real(path, mode);
}

int unlink(const char *path)
{
    REAL(int, "unlink", (const char *));
    return strikes() ? -1 : real(path);
}

int rmdir(const char *path)
{
    REAL(int, "rmdir", (const char *));
    return strikes() ? -1 : real(path);
}

int flock(int file, int operation)
{
    REAL(int, "flock", (int, int));
    return strikes() ? -1 : real(file, operation);
}

__attribute__((destructor)) static void tell(void)
{
    const char *path = getenv("THAW_CALL_COUNT");
    FILE *file = path ? fopen(path, "w") : NULL;
    if (file) {
        fprintf(file, "%ld\n", atomic_load(&n_calls));
        fclose(file);
    }
}
