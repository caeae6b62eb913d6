/* What the targets share. A target is a file fuzz_NAME.c with the function below; its corpus lies in corpus/NAME. */
#ifndef THAW_TESTS_FUZZ_H
#define THAW_TESTS_FUZZ_H

#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "thawprint/status.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* Ends the program where what must hold does not: the fuzzer and the replay both see it. */
static inline void demand(int holds, const char *what, const char *seen)
{
    if (!holds) {
        fprintf(stderr, "does not hold: %s: %s\n", what, seen ? seen : "");
        abort();
    }
}

/* A failure has a reason that can be read. */
static inline void demand_reason(thaw_status status, const thaw_error *err)
{
    demand(err->status == status && err->text[0] != '\0', "a failure has a reason", thaw_status_text(status));
    demand(memchr(err->text, '\0', sizeof err->text) != NULL, "the reason ends", NULL);
}

/* The bytes with a NUL behind, as a file is read. The caller frees. */
static inline char *as_text(const uint8_t *data, size_t size)
{
    char *text = malloc(size + 1);
    demand(text != NULL, "memory for the input", NULL);
    if (size > 0) {
        memcpy(text, data, size);
    }
    text[size] = '\0';
    return text;
}

#endif
