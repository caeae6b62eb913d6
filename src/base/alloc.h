/* The one allocator: zeroed, aligned to a cache line, overflow-checked. */
#ifndef THAW_BASE_ALLOC_H
#define THAW_BASE_ALLOC_H

#include <stddef.h>

#include "thawprint/status.h"

/* n items of `size` bytes, zeroed and 64-byte aligned; NULL and a record in `err` on failure.
 * n = 0 gives a valid pointer. Free with thaw_release. */
void *thaw_allocate(size_t n, size_t size, thaw_error *err);
void thaw_release(void *block);

/* Test hook: the n-th allocation from now on (1 = next) fails; 0 switches the hook off. */
void thaw_allocate_fail_at(long countdown);

#endif
