#include "base/error.h"

#include <stdarg.h>
#include <stdio.h>

const char *thaw_status_text(thaw_status status)
{
#define THAW_STATUS_CASE(code, text)                                                               \
    case code:                                                                                     \
        return text;
    switch (status) {
        THAW_STATUS_LIST(THAW_STATUS_CASE)
    }
#undef THAW_STATUS_CASE
    return "unknown status";
}

thaw_status thaw_fail(thaw_error *err, thaw_status status, const char *format, ...)
{
    if (err && err->status == THAW_OK) {
        va_list args;
        va_start(args, format);
        vsnprintf(err->text, sizeof err->text, format, args);
        va_end(args);
        err->status = status;
    }
    return status;
}
