/* Any bytes as a file of one's own cloths and dyes: faults with a reason, or entries that can be shown. */
#include "fuzz.h"

#include "scenario/own.h"
#include "thawprint/shelf.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static const char *const kinds[] = {"cloths", "dyes", "colours"};
    char *text = as_text(data, size), shown[8192];
    thaw_error err = {0};
    thaw_shelf *shelf = NULL;
    demand(thaw_shelf_create(&shelf, &err) == THAW_OK, "a shelf can be made", err.text);
    const thaw_status status = thaw_own_parse(text, size, "fuzz.yaml", shelf, &err);
    if (status != THAW_OK) {
        demand_reason(status, &err);
        demand(status == THAW_ERR_SCENARIO, "bad bytes are the fault of the file", err.text);
    }
    for (size_t k = 0; status == THAW_OK && k < sizeof kinds / sizeof *kinds; k++) {
        for (int i = 0; i < thaw_shelf_count(shelf, kinds[k]); i++) {
            demand(thaw_shelf_name(shelf, kinds[k], i) != NULL, "an entry has a name", kinds[k]);
            demand(thaw_shelf_remark(shelf, kinds[k], i) != NULL, "an entry has a remark", kinds[k]);
            thaw_shelf_detail(shelf, kinds[k], i, shown, sizeof shown);
        }
    }
    thaw_shelf_destroy(shelf);
    free(text);
    return 0;
}
