#define _POSIX_C_SOURCE 200809L

#include "folder.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define LONGEST_PATH 4096

static bool is_folder(const char *path)
{
    struct stat info;
    return stat(path, &info) == 0 && S_ISDIR(info.st_mode);
}

/* The folders of `path` from the top. Returns 0 or errno; *first_made is the length of the topmost
 * one made, *last_made of the deepest. */
static int make_folders(char *path, size_t *first_made, size_t *last_made)
{
    size_t n = strlen(path);
    for (size_t i = 1; i <= n; i++) {
        if (path[i] != '/' && path[i] != '\0') {
            continue;
        }
        char kept = path[i];
        path[i] = '\0';
        int reason = 0;
        if (mkdir(path, 0777) == 0) {
            *first_made = *first_made ? *first_made : i;
            *last_made = i;
        } else if (!is_folder(path)) {
            reason = errno == EEXIST ? ENOTDIR : errno;
        }
        path[i] = kept;
        if (reason) {
            return reason;
        }
    }
    return 0;
}

static void remove_folders(char *path, size_t first_made, size_t last_made)
{
    for (size_t i = last_made; first_made > 0 && i >= first_made; i--) {
        if (path[i] == '/' || path[i] == '\0') {
            path[i] = '\0';
            rmdir(path);
        }
    }
}

static int try_file(const char *dir)
{
    char probe[LONGEST_PATH + 64];
    snprintf(probe, sizeof probe, "%s/.thawprint-%ld", dir, (long)getpid());
    int file = open(probe, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    if (file < 0) {
        return errno;
    }
    close(file);
    unlink(probe);
    return 0;
}

bool folder_try(const char *dir)
{
    char path[LONGEST_PATH];
    size_t first_made = 0, last_made = 0;
    if (dir[0] == '\0' || strlen(dir) >= sizeof path) {
        fprintf(stderr, "thawprint: the name of the output folder is empty or too long\n");
        return false;
    }
    snprintf(path, sizeof path, "%s", dir);
    int reason = make_folders(path, &first_made, &last_made);
    if (reason == 0) {
        reason = try_file(dir);
    }
    remove_folders(path, first_made, last_made);
    if (reason != 0) {
        fprintf(stderr, "thawprint: %s: cannot be used as output folder: %s\n", dir,
                strerror(reason));
    }
    return reason == 0;
}
