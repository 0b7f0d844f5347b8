#include "refusal.hpp"

#include <algorithm>

namespace slotwitness::links {

using profiles::Refusal;

namespace {

LinkError::Kind kind_of(Refusal refusal) {
    switch (refusal) {
    case Refusal::command:
        return LinkError::Kind::credential;
    case Refusal::aaa:
        return LinkError::Kind::aaa;
    case Refusal::line:
        return LinkError::Kind::no_line;
    case Refusal::locked:
        return LinkError::Kind::locked;
    }
    return LinkError::Kind::credential;
}

std::string meaning_of(Refusal refusal) {
    switch (refusal) {
    case Refusal::command:
        return "the account is not allowed this; let it do what the profile asks for, and no more "
               "(slotwitness explain --profile lists it)";
    case Refusal::aaa:
        return "the device does not reach the server that decides about accounts; restore the way "
               "from the device to it";
    case Refusal::line:
        return "all sessions that the device grants are in use; end one that nobody needs, or let "
               "the device grant more";
    case Refusal::locked:
        return "the account is locked; find out who locked it and why, and have it unlocked before "
               "the next attempt";
    }
    return "";
}

std::string spoken(const profiles::Refusals::Told& told) {
    return "the device says \"" + told.words + "\": " + meaning_of(told.refusal);
}

} // namespace

LinkError refused_login(const std::string& who, const profiles::Refusals::Told& told) {
    return {kind_of(told.refusal), who + ": " + spoken(told)};
}

std::string refused_answer(const profiles::Refusals& refusals, std::string_view said) {
    const auto told = refusals.told_in(said);
    return told ? spoken(*told) : "";
}

std::string refused_shell_answer(const profiles::Refusals& refusals, std::string_view answer) {
    constexpr auto most_lines = 3;
    return std::count(answer.begin(), answer.end(), '\n') <= most_lines
               ? refused_answer(refusals, answer)
               : "";
}

std::optional<LinkError> refused_channel(const std::string& where,
                                         const profiles::Refusals& refusals,
                                         std::string_view complaint) {
    // "Channel opening failure: channel 43 error (4) …"; 4 is SSH_OPEN_RESOURCE_SHORTAGE.
    constexpr std::string_view shortage = "error (4)";
    constexpr std::string_view not_opened = "hannel opening failure";
    if (complaint.find(not_opened) == std::string_view::npos)
        return std::nullopt;
    if (complaint.find(shortage) != std::string_view::npos)
        return LinkError{
            LinkError::Kind::no_line,
            where + ": the device has no room for another channel: " + meaning_of(Refusal::line)};
    if (const auto told = refusals.told_in(complaint))
        return LinkError{kind_of(told->refusal),
                         where + ": the device refused a channel; " + spoken(*told)};
    return std::nullopt;
}

std::string in_brackets(const std::string& complaint) {
    return complaint.empty() ? "" : " (" + complaint + ")";
}

} // namespace slotwitness::links
