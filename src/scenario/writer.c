#include "scenario/writer.h"

#include <stdarg.h>
#include <stdio.h>

void thaw_writer_add(thaw_writer *writer, const char *format, ...)
{
    size_t left = writer->used < writer->size ? writer->size - writer->used : 0;
    va_list args;
    va_start(args, format);
    int n = vsnprintf(left ? writer->out + writer->used : NULL, left, format, args);
    va_end(args);
    writer->used += n > 0 ? (size_t)n : 0;
}
