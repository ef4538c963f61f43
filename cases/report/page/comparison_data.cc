#include "cases/report/page/page_data.h"

namespace limbwright
{
}
