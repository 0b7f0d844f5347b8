#pragma once

#include <memory>

namespace CLI {
class FormatterBase;
}

namespace slotwitness::program {

/// How --help is laid out: broken between words to 80 columns, where the library breaks nothing.
[[nodiscard]] std::shared_ptr<CLI::FormatterBase> help_layout();

} // namespace slotwitness::program
