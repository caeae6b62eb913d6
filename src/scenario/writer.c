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

/* Code points that YAML does not keep inside quotes as they are: control characters, further line breaks, the byte order
 * mark. Returns the bytes of the one that stands at `at`, 0 if it may stay. */
static size_t escape(const char *at, char out[8])
{
    const unsigned char *u = (const unsigned char *)at;
    if (u[0] < 0x20 || u[0] == 0x7f) {
        snprintf(out, 8, "\\x%02x", (unsigned)u[0]);
        return 1;
    }
    if (u[0] == 0xc2 && u[1] >= 0x80 && u[1] < 0xa0) {
        snprintf(out, 8, "\\x%02x", (unsigned)u[1]);
        return 2;
    }
    if (u[0] == 0xe2 && u[1] == 0x80 && (u[2] == 0xa8 || u[2] == 0xa9)) {
        snprintf(out, 8, "\\u20%02x", (unsigned)u[2] - 0x80);
        return 3;
    }
    if (u[0] == 0xef && u[1] == 0xbb && u[2] == 0xbf) {
        snprintf(out, 8, "\\ufeff");
        return 3;
    }
    return 0;
}

void thaw_writer_quoted(thaw_writer *writer, const char *text)
{
    thaw_writer_add(writer, "\"");
    while (*text) {
        char escaped[8];
        const size_t n = escape(text, escaped);
        if (n > 0) {
            thaw_writer_add(writer, "%s", escaped);
            text += n;
        } else {
            thaw_writer_add(writer, "%s%c", *text == '"' || *text == '\\' ? "\\" : "", *text);
            text++;
        }
    }
    thaw_writer_add(writer, "\"");
}
