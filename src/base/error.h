/* Filling thaw_error. */
#ifndef THAW_BASE_ERROR_H
#define THAW_BASE_ERROR_H

#include "thawprint/status.h"

/* Record a failure and return its status, so that callers write `return thaw_fail(...)`.
 * Keeps the first failure if `err` already holds one; `err` may be NULL. */
thaw_status thaw_fail(thaw_error *err, thaw_status status, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

#endif
