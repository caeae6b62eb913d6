#include "api/scenario_files.h"

#include <string.h>

#include "scenario/scenario.h"

thaw_status thaw_scenario_into_batch(const thaw_scenario *scenario, const char *name, thaw_batch *batch, thaw_error *err)
{
    char *text = NULL;
    thaw_status status = thaw_scenario_resolved(scenario, &text, err);
    if (status == THAW_OK) {
        status = thaw_batch_add(batch, name, text, strlen(text), err);
    }
    for (int i = 0; status == THAW_OK && i < scenario->pictures->n; i++) {
        const thaw_picture_file *file = &scenario->pictures->files[i];
        status = thaw_batch_add(batch, file->name, file->bytes, file->n, err);
    }
    thaw_text_free(text);
    return status;
}
