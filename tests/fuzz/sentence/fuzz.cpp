#include <slotwitness/sentences/sentence.hpp>

#include <cstdint>
#include <cstdlib>

/// Any bytes are a sentence whose canonical text is read back as itself, or a problem with a place.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    using namespace slotwitness;
    const std::string_view text{reinterpret_cast<const char*>(data), size};
    const auto sentence = sentences::parse(text);
    if (!sentence) {
        const state::Problem& problem = sentence.error();
        if (problem.at.line != 1 || problem.at.column < 1 || problem.at.column > size + 1 ||
            problem.found.empty() || problem.expected.empty() || problem.remedy.empty())
            std::abort();
        return 0;
    }
    const std::string canonical = sentences::to_text(*sentence);
    const auto again = sentences::parse(canonical);
    if (!again || *again != *sentence || sentences::to_text(*again) != canonical)
        std::abort();
    return 0;
}
