#include "result.h"

#include <stdio.h>
#include <string.h>

#include "screen.h"

static thaw_status print_json(const thaw_preview *preview, thaw_error *err)
{
    char *text = NULL;
    thaw_status status = thaw_preview_json(preview, &text, err);
    if (status == THAW_OK) {
        size_t n = strlen(text);
        printf("%s%s", text, n > 0 && text[n - 1] == '\n' ? "" : "\n");
        thaw_text_free(text);
    }
    return status;
}

thaw_status result_print(const options *given, const thaw_scenario *scenario,
                                const thaw_preview *preview, const char *dir, thaw_error *err)
{
    const thaw_preview_figures *figures = thaw_preview_get_figures(preview);
    if (given->json) {
        return print_json(preview, err);
    }
    if (given->quiet) {
        printf("%s\n", dir);
        return THAW_OK;
    }
    screen_print(figures, scenario, dir);
    for (int i = 0; given->frames > 0 && i < thaw_preview_film_count(); i++) {
        printf("%s  %-20s %s\n", i == 0 ? "\nAlso there\n" : "", thaw_preview_film_name(i), thaw_preview_film_meaning(i));
    }
    if (given->verbose) {
        screen_print_ledgers(figures);
    }
    return THAW_OK;
}
