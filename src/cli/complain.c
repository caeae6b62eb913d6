#include "commands.h"

#include <stdio.h>
#include <string.h>

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

int complain(const thaw_error *err)
{
    const char *text = err->text[0] ? err->text : thaw_status_text(err->status);
    /* What belongs to a fault is indented; a line that is not begins the next one. */
    while (*text) {
        size_t n = strcspn(text, "\n");
        fprintf(stderr, "%s%.*s\n", *text == ' ' ? "" : "thawprint: ", (int)n, text);
        text += n + (text[n] == '\n');
    }
    return exit_status_of(err->status);
}
