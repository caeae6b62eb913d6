/* A member of a set as bytes of a file, so that an interrupted set goes on and parts can be joined. Text lines, then
 * pixels; numbers in hexadecimal, so that nothing is lost. */
#ifndef THAW_OUTPUT_MEMBER_FILE_H
#define THAW_OUTPUT_MEMBER_FILE_H

#include <stddef.h>

#include "model/member.h"
#include "thawprint/status.h"

/* What a member belongs to: a file of another set, place or version is not taken. */
typedef struct thaw_member_place {
    const char *set;               /* one word */
    int member, n_members;
} thaw_member_place;

/* The caller frees *bytes with thaw_release; untouched on failure. */
thaw_status thaw_member_encode(const thaw_member *member, const thaw_member_place *place, char **bytes, size_t *n,
                               thaw_error *err);
/* FNV-1a, 64 bits, of all behind the line that holds it; 0 if there is no such line. For tests that change a file. */
uint64_t thaw_member_sum(const char *bytes, size_t n);
/* bytes[n] is NUL. THAW_ERR_FILE if the bytes are not whole, not as they were written, or not that member's. The caller releases rgb and lead. */
thaw_status thaw_member_decode(const char *bytes, size_t n, const thaw_member_place *place, thaw_member *out,
                               thaw_error *err);

#endif
