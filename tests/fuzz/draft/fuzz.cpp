#include <slotwitness/draft/draft.hpp>
#include <slotwitness/profiles/profile.hpp>

#include <array>
#include <cstdint>
#include <cstdlib>
#include <string>

using namespace slotwitness;

/// Whatever the text is, its draft is a profile, and reading the text with it confirms no word.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string text(reinterpret_cast<const char*>(data), size);
    const std::array samples{draft::Sample{"sample", text}};
    const auto profile = profiles::parse_profile(draft::draft_profile(samples), "draft.toml");
    if (!profile || !profile->queries.contains("sample"))
        std::abort();
    for (const state::Row& row : profiles::read(*profile, "sample", text, true).rows)
        for (const auto& [attribute, fact] : row.facts)
            if (std::holds_alternative<state::OperState>(fact.value))
                std::abort();
    return 0;
}
