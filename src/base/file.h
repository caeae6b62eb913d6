/* Files and what else the system is asked: the only POSIX calls of the library. */
#ifndef THAW_BASE_FILE_H
#define THAW_BASE_FILE_H

#include <stdbool.h>
#include <stddef.h>

#include "thawprint/status.h"

typedef enum thaw_file_kind {
    THAW_FILE_MISSING,
    THAW_FILE_REGULAR,
    THAW_FILE_FOLDER,
    THAW_FILE_OTHER, /* pipe, device */
    THAW_FILE_CLOSED /* something on the way may not be looked at */
} thaw_file_kind;

thaw_file_kind thaw_file_look(const char *path);

/* At most `limit` bytes of a file, with a NUL behind; *whole is false if the file goes on. The
 * caller releases *text. Outputs untouched on failure (THAW_ERR_FILE, THAW_ERR_MEMORY). */
thaw_status thaw_file_read(const char *path, size_t limit, char **text, size_t *n, bool *whole,
                           thaw_error *err);

/* Make a folder and its parents; an existing folder is fine. */
thaw_status thaw_folder_make(const char *path, thaw_error *err);

/* Before several files of a folder are read: a commit that goes on is waited for, one that was killed is ended, so that
 * they are all of one batch. Where that cannot be done, nothing is. */
void thaw_folder_settle(const char *dir);

/* Several files that appear together. Each is written and synced in a hidden folder of the batch's own inside the
 * folder; commit renames them all, while no other batch does there. Destroying a batch that was not committed removes
 * its files, and the folders it made if they are empty. A process killed before it commits changes nothing; killed
 * while it commits, the next batch in the folder ends what it began, and clears what it left, first. */
typedef struct thaw_batch thaw_batch;

/* Makes `dir` if missing. */
thaw_status thaw_batch_create(const char *dir, thaw_batch **out, thaw_error *err);
void thaw_batch_destroy(thaw_batch *batch);
/* `name` has no slash. At most THAW_BATCH_MAX files. */
#define THAW_BATCH_MAX 96
thaw_status thaw_batch_add(thaw_batch *batch, const char *name, const void *bytes, size_t n,
                           thaw_error *err);
thaw_status thaw_batch_commit(thaw_batch *batch, thaw_error *err);

/* One file, the same way: temporary name in the same folder, sync, rename. */
thaw_status thaw_file_replace(const char *dir, const char *name, const void *bytes, size_t n,
                              thaw_error *err);

/* Remove a file or an empty folder; what is not there is fine. */
thaw_status thaw_file_remove(const char *path, thaw_error *err);

/* Rename within a file system; where `from` is not there, nothing. */
thaw_status thaw_file_move(const char *from, const char *to, thaw_error *err);

/* Memory the system could hand out now, bytes; 0 when it does not say. */
double thaw_memory_available(void);

#endif
