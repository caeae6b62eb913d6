#include "scenario/writer.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>

void thaw_writer_add(thaw_writer *writer, const char *format, ...)
{
    size_t left = writer->used < writer->size ? writer->size - writer->used : 0;
    va_list args;
    va_start(args, format);
    int n = vsnprintf(left ? writer->out + writer->used : NULL, left, format, args);
    va_end(args);
    writer->used += n > 0 ? (size_t)n : 0;
}

void thaw_writer_number(thaw_writer *writer, double value)
{
    char text[40];
    for (int digits = 6; digits <= 17; digits++) {
        snprintf(text, sizeof text, "%.*g", digits, value);
        if (strtod(text, NULL) == value) {
            break;
        }
    }
    thaw_writer_add(writer, "%s", text);
}

void thaw_writer_quoted(thaw_writer *writer, const char *text)
{
    thaw_writer_add(writer, "\"");
    for (; *text; text++) {
        thaw_writer_add(writer, "%s%c", *text == '"' || *text == '\\' ? "\\" : "", *text);
    }
    thaw_writer_add(writer, "\"");
}
