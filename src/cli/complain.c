#include "commands.h"

#include <stdio.h>
#include <string.h>

#include <thawprint/words.h>

static int exit_status_of(thaw_status status)
{
    switch (status) {
    case THAW_OK:
        return EXIT_DONE;
    case THAW_ERR_ARGUMENT:
        return EXIT_USAGE;
    case THAW_ERR_SCENARIO:
        return EXIT_SCENARIO;
    case THAW_ERR_FILE:
    case THAW_ERR_MEMORY:
        return EXIT_SYSTEM;
    case THAW_ERR_UNPHYSICAL:
        return EXIT_UNPHYSICAL;
    case THAW_ERR_CANCELLED:
        return EXIT_STOPPED;
    }
    return EXIT_SYSTEM;
}

void print_plain(FILE *to, const char *text, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        int steers = thaw_words_control(text + i);
        if (steers == 0) {
            fputc(text[i], to);
        }
        for (; steers > 0; steers--) {
            fprintf(to, "\\x%02x", (unsigned)(unsigned char)text[i]);
            i += steers > 1;
        }
    }
}

int complain(const thaw_error *err)
{
    const char *text = err->text[0] ? err->text : thaw_status_text(err->status);
    /* What belongs to a fault is indented; a line that is not begins the next one. */
    while (*text) {
        size_t n = strcspn(text, "\n");
        fputs(*text == ' ' ? "" : "thawprint: ", stderr);
        print_plain(stderr, text, n);
        fputc('\n', stderr);
        text += n + (text[n] == '\n');
    }
    return exit_status_of(err->status);
}
