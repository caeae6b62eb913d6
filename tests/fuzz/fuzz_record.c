/* Any bytes as record.json: a reason, or facts that are written and read as the same. */
#include "fuzz.h"

#include "base/alloc.h"
#include "output/record_json.h"

static thaw_facts *read_facts(const char *text, size_t n, thaw_error *err)
{
    thaw_facts *facts = calloc(1, sizeof *facts);
    demand(facts != NULL, "memory for facts", NULL);
    const thaw_status status = thaw_record_read(text, n, "record.json", facts, err);
    if (status == THAW_OK) {
        return facts;
    }
    demand_reason(status, err);
    demand(status == THAW_ERR_SCENARIO, "bad bytes are the fault of the file", err->text);
    free(facts);
    return NULL;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *text = as_text(data, size), *first = NULL, *second = NULL;
    thaw_error err = {0};
    thaw_facts *facts = read_facts(text, size, &err);
    if (facts) {
        demand(memchr(facts->remarks, '\0', sizeof facts->remarks) != NULL, "remarks end", NULL);
        demand(thaw_record_text(text, size, facts, "0", &first, &err) == THAW_OK, "it can be written", err.text);
        thaw_facts *again = read_facts(first, strlen(first), &err);
        demand(again != NULL, "what is written can be read", err.text);
        demand(thaw_record_text(first, strlen(first), again, "0", &second, &err) == THAW_OK, "it can be written again", err.text);
        demand(strcmp(first, second) == 0, "written, read and written it is the same", second);
        free(again);
    }
    free(facts);
    thaw_release(first);
    thaw_release(second);
    free(text);
    return 0;
}
