/* Text into a buffer of fixed size that remembers how long the whole would be. */
#ifndef THAW_SCENARIO_WRITER_H
#define THAW_SCENARIO_WRITER_H

#include <stddef.h>

typedef struct thaw_writer {
    char *out;
    size_t size, used; /* used may pass size: then the text was cut */
} thaw_writer;

void thaw_writer_add(thaw_writer *writer, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* A number that reads back to exactly the same double; and text as a quoted YAML scalar. */
void thaw_writer_number(thaw_writer *writer, double value);
void thaw_writer_quoted(thaw_writer *writer, const char *text);

#endif
