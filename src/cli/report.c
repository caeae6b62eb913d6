#include "report.h"

#include <stdio.h>

#include <thawprint/scenario.h>

#include "commands.h"

bool report_short(const options *given, report_json *json, const void *result, const char *dir, int *exit)
{
    thaw_error err = {0};
    char *text = NULL;
    *exit = EXIT_DONE;
    if (given->json) {
        if (json(result, &text, &err) != THAW_OK) {
            *exit = complain(&err);
            return true;
        }
        printf("%s", text);
        thaw_text_free(text);
    } else if (given->quiet) {
        printf("%s\n", dir);
    }
    return given->json || given->quiet;
}
