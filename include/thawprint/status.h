/* Status codes and the error record that every fallible call fills. */
#ifndef THAWPRINT_STATUS_H
#define THAWPRINT_STATUS_H

/* One list makes the codes and their texts. */
#define THAW_STATUS_LIST(X)                                                                        \
    X(THAW_OK, "done")                                                                             \
    X(THAW_ERR_ARGUMENT, "wrong argument")                                                         \
    X(THAW_ERR_SCENARIO, "fault in a scenario or measurement file")                                \
    X(THAW_ERR_FILE, "a file could not be read or written")                                        \
    X(THAW_ERR_MEMORY, "not enough memory")                                                        \
    X(THAW_ERR_UNPHYSICAL, "the computation left the physical range")                              \
    X(THAW_ERR_CANCELLED, "stopped on request")

#define THAW_STATUS_ENUM(code, text) code,
typedef enum thaw_status { THAW_STATUS_LIST(THAW_STATUS_ENUM) } thaw_status;
#undef THAW_STATUS_ENUM

/* The first failure wins: a call finds `status` already set leaves the record as it is.
 * `text` is complete as it stands: it names file, line and column where there are any, and for a
 * scenario it holds every fault found, one after the other. */
typedef struct thaw_error {
    thaw_status status;
    char text[16384];
} thaw_error;

/* Short English text of a code; never NULL. */
const char *thaw_status_text(thaw_status status);

#endif
