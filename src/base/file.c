#define _POSIX_C_SOURCE 200809L

#include "base/file.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdio.h>
#include <string.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/alloc.h"
#include "base/error.h"

#define LONGEST_PATH 4096
#define LONGEST_NAME 256
#define LONGEST_BELOW (LONGEST_PATH + 2 * LONGEST_NAME)
#define OURS  ".thawprint-"        /* begins the name of all that does not stay */
#define READY ".thawprint-ready"   /* a whole batch on its way into place */

/* Files are written into a folder of the batch's own, below `dir`. A lock says that its process lives: the system
 * takes it away with the process, however that ends, and the next batch in `dir` clears what nobody holds. To commit,
 * the folder gets the name READY, from which moment the batch counts as whole: files that a death leaves there are
 * put in place by the next batch. */
struct thaw_batch {
    char dir[LONGEST_PATH];
    size_t first_made; /* length of the topmost folder this batch made; 0: none */
    char own[LONGEST_PATH + LONGEST_NAME]; /* the batch's folder; "": not made yet, or given up */
    int held;          /* its lock; -1: none */
    int n;
    bool committed;
    char name[THAW_BATCH_MAX][LONGEST_NAME];
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

/* A lock on a folder, waited for or not; -1 where there is none to be had. Ends with the descriptor. */
static int lock_folder(const char *dir, bool wait)
{
    int folder = open(dir, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    while (folder >= 0 && flock(folder, wait ? LOCK_EX : LOCK_EX | LOCK_NB) != 0) {
        if (errno != EINTR) {
            close(folder);
            return -1;
        }
    }
    return folder;
}

static void unlock(int folder)
{
    if (folder >= 0) {
        close(folder);
    }
}

/* Not every file system can, and the files themselves are synced: so what it says does not matter. */
static void sync_folder(const char *dir)
{
    int folder = open(dir, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (folder >= 0) {
        fsync(folder);
        close(folder);
    }
}

typedef void on_entry(const char *dir, const char *name);

static void for_each_entry(const char *dir, on_entry *call)
{
    DIR *open_dir = opendir(dir);
    for (struct dirent *entry; open_dir && (entry = readdir(open_dir)) != NULL;) {
        if (strcmp(entry->d_name, ".") != 0 && strcmp(entry->d_name, "..") != 0) {
            call(dir, entry->d_name);
        }
    }
    if (open_dir) {
        closedir(open_dir);
    }
}

static void below(const char *dir, const char *name, char out[LONGEST_BELOW])
{
    snprintf(out, LONGEST_BELOW, "%s/%s", dir, name);
}

static void remove_entry(const char *dir, const char *name)
{
    char path[LONGEST_BELOW];
    below(dir, name, path);
    unlink(path);
}

/* Out of the folder READY into the one above it; where a folder has its place by now, it is given up. */
static void put_in_place(const char *ready, const char *name)
{
    char from[LONGEST_BELOW], to[LONGEST_BELOW];
    below(ready, name, from);
    snprintf(to, sizeof to, "%.*s%s", (int)(strlen(ready) - strlen(READY)), ready, name);
    if (rename(from, to) != 0 && thaw_file_look(to) == THAW_FILE_FOLDER) {
        unlink(from);
    }
}

/* Ends what a dead process began; what lives is locked and stays. */
static void clear_leftover(const char *dir, const char *name)
{
    char path[LONGEST_BELOW];
    below(dir, name, path);
    if (strncmp(name, OURS, strlen(OURS)) != 0 || strlen(dir) + strlen(name) + 2 > LONGEST_PATH) {
        return;
    }
    if (thaw_file_look(path) == THAW_FILE_REGULAR) {
        unlink(path);
        return;
    }
    int held = lock_folder(path, false);
    if (held >= 0) {
        for_each_entry(path, strcmp(name, READY) == 0 ? put_in_place : remove_entry);
        rmdir(path);
        close(held);
    }
}

void thaw_folder_settle(const char *dir)
{
    int turn = lock_folder(dir, true);
    for_each_entry(dir, clear_leftover);
    unlock(turn);
}

thaw_status thaw_batch_create(const char *dir, thaw_batch **out, thaw_error *err)
{
    thaw_batch *batch = thaw_allocate(1, sizeof *batch, err);
    if (!batch) {
        return THAW_ERR_MEMORY;
    }
    batch->held = -1;
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
    if (batch->own[0] != '\0') {
        for_each_entry(batch->own, remove_entry);
        rmdir(batch->own);
    }
    unlock(batch->held);
    if (!batch->committed) {
        unmake(batch->dir, batch->first_made);
    }
    thaw_release(batch);
}

/* Clears what the dead left and makes the batch's own folder. 0, or -1 with errno. */
static int make_own(thaw_batch *batch)
{
    int turn = lock_folder(batch->dir, true), made = -1;
    for_each_entry(batch->dir, clear_leftover);
    errno = EEXIST;
    for (int attempt = 0; made != 0 && errno == EEXIST && attempt < 10000; attempt++) {
        snprintf(batch->own, sizeof batch->own, "%s/%s%ld-%d", batch->dir, OURS, (long)getpid(), attempt);
        made = mkdir(batch->own, 0700);
    }
    int reason = errno;
    if (made == 0) {
        batch->held = lock_folder(batch->own, false);
    } else {
        batch->own[0] = '\0';
    }
    unlock(turn);
    errno = reason;
    return made;
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

/* 0, or -1 with errno. */
static int write_file(const char *path, const void *bytes, size_t n)
{
    int file = open(path, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    if (file < 0) {
        return -1;
    }
    int failed = write_all(file, bytes, n);
    int reason = errno;
    if (close(file) != 0 && failed == 0) {
        failed = -1;
        reason = errno;
    }
    if (failed != 0) {
        unlink(path);
    }
    errno = reason;
    return failed;
}

thaw_status thaw_batch_add(thaw_batch *batch, const char *name, const void *bytes, size_t n,
                           thaw_error *err)
{
    char path[LONGEST_BELOW];
    if (batch->n == THAW_BATCH_MAX || strlen(name) >= sizeof batch->name[0]) {
        return thaw_fail(err, THAW_ERR_FILE, "%s: too many files or too long a name", name);
    }
    int failed = batch->own[0] == '\0' ? make_own(batch) : 0;
    if (failed == 0) {
        below(batch->own, name, path);
        failed = write_file(path, bytes, n);
    }
    if (failed != 0) {
        return thaw_fail(err, THAW_ERR_FILE, "%s/%s: cannot be written: %s", batch->dir, name, strerror(errno));
    }
    snprintf(batch->name[batch->n], sizeof batch->name[0], "%s", name);
    batch->n++;
    return THAW_OK;
}

/* A folder in the place of a file is the likely reason for a rename to fail: look before any. */
static thaw_status check_targets(const thaw_batch *batch, thaw_error *err)
{
    char target[LONGEST_BELOW];
    for (int i = 0; i < batch->n; i++) {
        below(batch->dir, batch->name[i], target);
        if (thaw_file_look(target) == THAW_FILE_FOLDER) {
            return thaw_fail(err, THAW_ERR_FILE, "%s: is a folder, not a file", target);
        }
    }
    return THAW_OK;
}

static thaw_status rename_all(thaw_batch *batch, thaw_error *err)
{
    char from[LONGEST_BELOW], to[LONGEST_BELOW];
    for (int i = 0; i < batch->n; i++) {
        below(batch->own, batch->name[i], from);
        below(batch->dir, batch->name[i], to);
        if (rename(from, to) != 0) {
            return thaw_fail(err, THAW_ERR_FILE, "%s: cannot be put in place: %s", to, strerror(errno));
        }
        batch->committed = true;
    }
    return THAW_OK;
}

/* One file appears by its rename alone. Of several, none or all shall: first their folder is called ready. */
static thaw_status call_ready(thaw_batch *batch, thaw_error *err)
{
    char ready[LONGEST_PATH + LONGEST_NAME];
    snprintf(ready, sizeof ready, "%s/%s", batch->dir, READY);
    sync_folder(batch->own);
    if (rename(batch->own, ready) != 0) {
        return thaw_fail(err, THAW_ERR_FILE, "%s: the files cannot be put in place: %s", batch->dir, strerror(errno));
    }
    memcpy(batch->own, ready, sizeof ready);
    sync_folder(batch->dir);
    return THAW_OK;
}

thaw_status thaw_batch_commit(thaw_batch *batch, thaw_error *err)
{
    int turn = lock_folder(batch->dir, true);
    thaw_status status = check_targets(batch, err);
    if (status == THAW_OK && batch->n > 1) {
        for_each_entry(batch->dir, clear_leftover);
        status = call_ready(batch, err);
    }
    if (status == THAW_OK) {
        status = rename_all(batch, err);
    }
    if (batch->committed && status == THAW_OK) {
        rmdir(batch->own);
    }
    if (batch->committed) { /* after a failure the rest stays ready: the next batch tries again */
        batch->own[0] = '\0';
        sync_folder(batch->dir);
    }
    unlock(turn);
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

thaw_status thaw_file_move(const char *from, const char *to, thaw_error *err)
{
    if (rename(from, to) != 0 && errno != ENOENT) {
        return thaw_fail(err, THAW_ERR_FILE, "%s: cannot be put in place: %s", to, strerror(errno));
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
