#include "base/bytes.h"

#include <string.h>

#include "base/alloc.h"

#define FIRST_ROOM 4096u

bool thaw_bytes_append(thaw_bytes *to, const void *data, size_t n, thaw_error *err)
{
    if (n >= to->room - to->n) {
        const size_t room = 2 * to->room + n + FIRST_ROOM;
        unsigned char *larger = thaw_allocate(room, 1, err); /* zeroed */
        if (!larger) {
            return false;
        }
        if (to->n > 0) {
            memcpy(larger, to->bytes, to->n);
        }
        thaw_release(to->bytes);
        to->bytes = larger;
        to->room = room;
    }
    memcpy(to->bytes + to->n, data, n);
    to->n += n;
    return true;
}
