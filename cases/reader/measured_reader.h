#pragma once

#include "cases/reader/case.h"
#include "cases/reader/keys.h"

namespace limbwright
{
const Section<MeasuredWeight> &measured_weight_section();
const Section<MeasuredStrip> &measured_strip_section();

/// [[measured.weight]] and [[measured.strip]] of a case whose limbs have been read.
void read_measured(const TomlView &document, Case &bow_case);
} // namespace limbwright
