#define _POSIX_C_SOURCE 200809L

#include "base/file.h"

#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/alloc.h"
#include "base/error.h"

#define LONGEST_PATH 4096

struct thaw_batch {
    char dir[LONGEST_PATH];
    size_t first_made; /* length of the topmost folder this batch made; 0: none */
    int n;
    bool committed;
    char temp[THAW_BATCH_MAX][LONGEST_PATH + 320]; /* "" once renamed */
    char name[THAW_BATCH_MAX][256];
};

thaw_file_kind thaw_file_look(const char *path)
{
    struct stat info;
    if (stat(path, &info) != 0) {
        return errno == EACCES || errno == ELOOP ? THAW_FILE_CLOSED : THAW_FILE_MISSING;
    }
    if (S_ISDIR(info.st_mode)) {
        return THAW_FILE_FOLDER;
    }
    return S_ISREG(info.st_mode) ? THAW_FILE_REGULAR : THAW_FILE_OTHER;
}

thaw_status thaw_file_read(const char *path, size_t limit, char **text, size_t *n, bool *whole,
                           thaw_error *err)
{
    FILE *file = fopen(path, "rb");
    if (!file) {
        return thaw_fail(err, THAW_ERR_FILE, "%s: cannot be read: %s", path, strerror(errno));
    }
    struct stat info;
    if (fstat(fileno(file), &info) == 0 && S_ISREG(info.st_mode) && info.st_size > 0 && (size_t)info.st_size < limit) {
        limit = (size_t)info.st_size; /* room for what is there, not for what may be */
    }
    char *bytes = thaw_allocate(limit + 2, 1, err);
    if (!bytes) {
        fclose(file);
        return THAW_ERR_MEMORY;
    }
    size_t got = fread(bytes, 1, limit + 1, file);
    bool broken = ferror(file) != 0;
    int reason = errno;
    fclose(file);
    if (broken) {
        thaw_release(bytes);
        return thaw_fail(err, THAW_ERR_FILE, "%s: cannot be read: %s", path, strerror(reason));
    }
    *whole = got <= limit;
    *n = got <= limit ? got : limit;
    bytes[*n] = '\0';
    *text = bytes;
    return THAW_OK;
}

/* 0, 1 if it was made just now, or -1 with errno. */
static int make_one(const char *path)
{
    if (mkdir(path, 0777) == 0) {
        return 1;
    }
    int reason = errno;
    if (thaw_file_look(path) == THAW_FILE_FOLDER) {
        return 0;
    }
    errno = reason == EEXIST ? ENOTDIR : reason;
    return -1;
}

/* Takes away the folders from `path` up to the one whose path is `first_made` long. */
static void unmake(char *path, size_t first_made)
{
    while (first_made > 0 && strlen(path) >= first_made && rmdir(path) == 0) {
        char *slash = strrchr(path, '/');
        if (!slash) {
            return;
        }
        *slash = '\0';
    }
}

/* `path` without slashes at its end. *first_made: length of the topmost folder made, 0 if none. */
static thaw_status make_chain(char *path, size_t *first_made, thaw_error *err)
{
    size_t length = strlen(path);
    *first_made = 0;
    for (size_t i = 1; i <= length; i++) {
        if (path[i] != '/' && path[i] != '\0') {
            continue;
        }
        char kept = path[i];
        path[i] = '\0';
        int made = make_one(path);
        int reason = errno;
        path[i] = kept;
        if (made < 0) {
            thaw_fail(err, THAW_ERR_FILE, "%s: the folder cannot be made: %s", path,
                      strerror(reason));
            path[i] = '\0';
            char *slash = strrchr(path, '/');
            if (slash && *first_made > 0) {
                *slash = '\0';
                unmake(path, *first_made);
            }
            return THAW_ERR_FILE;
        }
        if (made == 1 && *first_made == 0) {
            *first_made = i;
        }
    }
    return THAW_OK;
}

static thaw_status copy_path(const char *path, char out[LONGEST_PATH], thaw_error *err)
{
    size_t n = strlen(path);
    while (n > 1 && path[n - 1] == '/') {
        n--;
    }
    if (n == 0 || n >= LONGEST_PATH) {
        return thaw_fail(err, THAW_ERR_FILE, "the name of the folder is %s",
                         n == 0 ? "empty" : "too long");
    }
    memcpy(out, path, n);
    out[n] = '\0';
    return THAW_OK;
}

thaw_status thaw_folder_make(const char *path, thaw_error *err)
{
    char copy[LONGEST_PATH];
    size_t first_made = 0;
    thaw_status status = copy_path(path, copy, err);
    return status != THAW_OK ? status : make_chain(copy, &first_made, err);
}

thaw_status thaw_batch_create(const char *dir, thaw_batch **out, thaw_error *err)
{
    thaw_batch *batch = thaw_allocate(1, sizeof *batch, err);
    if (!batch) {
        return THAW_ERR_MEMORY;
    }
    thaw_status status = copy_path(dir, batch->dir, err);
    if (status == THAW_OK) {
        status = make_chain(batch->dir, &batch->first_made, err);
    }
    if (status != THAW_OK) {
        thaw_release(batch);
        return status;
    }
    *out = batch;
    return THAW_OK;
}

void thaw_batch_destroy(thaw_batch *batch)
{
    if (!batch) {
        return;
    }
    for (int i = 0; i < batch->n; i++) {
        if (batch->temp[i][0] != '\0') {
            unlink(batch->temp[i]);
        }
    }
    if (!batch->committed) {
        unmake(batch->dir, batch->first_made);
    }
    thaw_release(batch);
}

static int write_all(int file, const char *bytes, size_t n)
{
    while (n > 0) {
        ssize_t put = write(file, bytes, n);
        if (put < 0 && errno == EINTR) {
            continue;
        }
        if (put < 0) {
            return -1;
        }
        bytes += put;
        n -= (size_t)put;
    }
    return fsync(file);
}

thaw_status thaw_batch_add(thaw_batch *batch, const char *name, const void *bytes, size_t n,
                           thaw_error *err)
{
    if (batch->n == THAW_BATCH_MAX || strlen(name) >= sizeof batch->name[0]) {
        return thaw_fail(err, THAW_ERR_FILE, "%s: too many files or too long a name", name);
    }
    char temp[sizeof batch->temp[0]];
    int file = -1;
    for (int attempt = 0; file < 0 && attempt < 100; attempt++) {
        snprintf(temp, sizeof temp, "%s/.%s.%ld-%d", batch->dir, name, (long)getpid(), attempt);
        file = open(temp, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
        if (file < 0 && errno != EEXIST) {
            break;
        }
    }
    if (file < 0) {
        return thaw_fail(err, THAW_ERR_FILE, "%s/%s: cannot be written: %s", batch->dir, name,
                         strerror(errno));
    }
    int failed = write_all(file, bytes, n);
    int reason = errno;
    if (close(file) != 0 && failed == 0) {
        failed = -1;
        reason = errno;
    }
    if (failed != 0) {
        unlink(temp);
        return thaw_fail(err, THAW_ERR_FILE, "%s/%s: cannot be written: %s", batch->dir, name,
                         strerror(reason));
    }
    memcpy(batch->temp[batch->n], temp, sizeof temp);
    snprintf(batch->name[batch->n], sizeof batch->name[0], "%s", name);
    batch->n++;
    return THAW_OK;
}

/* A folder in the place of a file is the likely reason for a rename to fail: look before any. */
static thaw_status check_targets(const thaw_batch *batch, thaw_error *err)
{
    char target[LONGEST_PATH + 320];
    for (int i = 0; i < batch->n; i++) {
        snprintf(target, sizeof target, "%s/%s", batch->dir, batch->name[i]);
        if (thaw_file_look(target) == THAW_FILE_FOLDER) {
            return thaw_fail(err, THAW_ERR_FILE, "%s: is a folder, not a file", target);
        }
    }
    return THAW_OK;
}

thaw_status thaw_batch_commit(thaw_batch *batch, thaw_error *err)
{
    char target[LONGEST_PATH + 320];
    thaw_status status = check_targets(batch, err);
    for (int i = 0; i < batch->n && status == THAW_OK; i++) {
        snprintf(target, sizeof target, "%s/%s", batch->dir, batch->name[i]);
        if (rename(batch->temp[i], target) != 0) {
            status = thaw_fail(err, THAW_ERR_FILE, "%s: cannot be put in place: %s", target,
                               strerror(errno));
        } else {
            batch->temp[i][0] = '\0';
            batch->committed = true;
        }
    }
    return status;
}

thaw_status thaw_file_replace(const char *dir, const char *name, const void *bytes, size_t n,
                              thaw_error *err)
{
    thaw_batch *batch = NULL;
    thaw_status status = thaw_batch_create(dir, &batch, err);
    if (status == THAW_OK) {
        status = thaw_batch_add(batch, name, bytes, n, err);
    }
    if (status == THAW_OK) {
        status = thaw_batch_commit(batch, err);
    }
    thaw_batch_destroy(batch);
    return status;
}

thaw_status thaw_file_remove(const char *path, thaw_error *err)
{
    if (unlink(path) != 0 && errno != ENOENT && rmdir(path) != 0) {
        return thaw_fail(err, THAW_ERR_FILE, "%s: cannot be removed: %s", path, strerror(errno));
    }
    return THAW_OK;
}

double thaw_memory_available(void)
{
    FILE *file = fopen("/proc/meminfo", "r");
    if (!file) {
        return 0.0;
    }
    char line[256];
    unsigned long kib = 0;
    while (fgets(line, sizeof line, file) && sscanf(line, "MemAvailable: %lu", &kib) != 1) {
    }
    fclose(file);
    return (double)kib * 1024.0;
}
