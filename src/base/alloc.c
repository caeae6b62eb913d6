#include "base/alloc.h"

#include <stdatomic.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/error.h"

#define ALIGNMENT 64u

/* The only mutable global of the library: tests use it to make an allocation fail. */
static atomic_long countdown_to_failure;

void thaw_allocate_fail_at(long countdown)
{
    atomic_store(&countdown_to_failure, countdown);
}

static int fails_now(void)
{
    if (atomic_load_explicit(&countdown_to_failure, memory_order_relaxed) == 0) {
        return 0;
    }
    return atomic_fetch_sub(&countdown_to_failure, 1) == 1;
}

void *thaw_allocate(size_t n, size_t size, thaw_error *err)
{
    if (size != 0 && n > (SIZE_MAX - ALIGNMENT) / size) {
        thaw_fail(err, THAW_ERR_MEMORY, "an array of %zu items is larger than any memory", n);
        return NULL;
    }
    size_t bytes = (n * size + ALIGNMENT) / ALIGNMENT * ALIGNMENT;
    void *block = fails_now() ? NULL : aligned_alloc(ALIGNMENT, bytes);
    if (!block) {
        thaw_fail(err, THAW_ERR_MEMORY, "not enough memory for %.1f MiB", (double)bytes / 1048576.0);
        return NULL;
    }
    memset(block, 0, bytes);
    return block;
}

void thaw_release(void *block)
{
    free(block);
}
