#include <slotwitness/shell/dialogue.hpp>

#include <cstdint>
#include <cstdlib>
#include <string>
#include <string_view>

using namespace slotwitness::shell;

namespace {

constexpr std::size_t longest = 200;
constexpr std::string_view query = "tell planes";

struct Heard {
    Dialogue dialogue;
    std::string since_query; ///< what the device has said since the query was sent
    bool has_asked = false;
};

/// Takes a piece; only a line end or the pager's key may ever go out, and an answer is what stands
/// between the echo and the prompt.
void hear(Heard& heard, std::string_view piece) {
    const std::string sent = heard.dialogue.hear(piece);
    if (sent.find_first_not_of("\r ") != std::string::npos)
        std::abort();
    heard.since_query.append(piece);
    const Dialogue& dialogue = heard.dialogue;
    if (dialogue.answer().size() > longest + longest_prompt)
        std::abort();
    if (dialogue.stage() != Dialogue::Stage::ready)
        return;
    if (dialogue.prompt().empty() || dialogue.prompt().back() != '>')
        std::abort();
    if (!heard.has_asked) {
        heard.has_asked = true;
        heard.since_query.clear();
        if (heard.dialogue.ask(query) != std::string(query) + "\r")
            std::abort();
        return;
    }
    const std::string answer = dialogue.answer() + dialogue.prompt();
    if (answer.size() > longest + longest_prompt || !heard.since_query.starts_with(query) ||
        heard.since_query.find("\n" + answer) == std::string::npos ||
        !heard.since_query.ends_with(dialogue.prompt()))
        std::abort();
}

Heard begun() {
    Spec spec;
    spec.is_prompt = [](std::string_view line) { return line.ends_with(">"); };
    spec.pagers = {"--"};
    spec.pager_key = ' ';
    spec.longest_answer = longest;
    return {Dialogue(spec), "", false};
}

} // namespace

/// NUL parts what the device says at once. Said at once or byte by byte, two answers that are both
/// whole are the same.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    std::string_view rest{reinterpret_cast<const char*>(data), size};
    Heard at_once = begun();
    Heard by_bytes = begun();
    while (!rest.empty()) {
        const std::string_view piece = rest.substr(0, rest.find('\0'));
        rest.remove_prefix(piece.size() == rest.size() ? piece.size() : piece.size() + 1);
        hear(at_once, piece);
        for (const char& byte : piece)
            hear(by_bytes, {&byte, 1});
        if (at_once.has_asked && by_bytes.has_asked &&
            at_once.dialogue.stage() == Dialogue::Stage::ready &&
            by_bytes.dialogue.stage() == Dialogue::Stage::ready &&
            at_once.dialogue.answer() != by_bytes.dialogue.answer())
            std::abort();
    }
    return 0;
}
