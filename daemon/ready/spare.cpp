#include "findings.hpp"

namespace slotwitness::ready {
namespace {

using procedures::Compatibility;

std::string listed_in(const Compatibility& list) {
    std::string text;
    for (const Compatibility::Part& part : list.fits) {
        text += (text.empty() ? "" : "; ") + part.number;
        for (std::size_t i = 0; i < part.revisions.size(); ++i)
            text += (i == 0 ? " revision " : ", ") + part.revisions[i];
    }
    return text;
}

} // namespace

Findings of_spare(const Work& work) {
    const procedures::Procedure& procedure = work.procedure.procedure;
    const std::string about = "spare";
    if (procedure.work != procedures::Work::replace)
        return {};
    if (!procedure.compatibility)
        return {{Weight::advice, about,
                 "not known whether it fits: the procedure states no parts that do",
                 "Compare it by hand with the manufacturer's list, and state that list in "
                 "[compatibility]."}};
    const Compatibility& list = *procedure.compatibility;
    const std::string& part = work.procedure.given.at(list.part);
    const std::string revision =
        list.revision.empty() ? std::string() : work.procedure.given.at(list.revision);
    const std::string spare = part + (revision.empty() ? "" : " revision " + revision);
    const std::string by = " by " + list.document + ": " + listed_in(list);
    switch (fit_of(list, part, revision)) {
    case procedures::Fit::listed:
        return {{Weight::as_needed, about, spare + " is listed" + by, {}}};
    case procedures::Fit::other_revision:
        return {{Weight::advice, about, spare + " is not a revision that is listed" + by,
                 "Ask who keeps that list whether this revision goes with the device's software."}};
    case procedures::Fit::not_listed:
        return {{Weight::holds_up, about, spare + " is not among the parts that fit" + by,
                 "Read the label again, and get a part that is listed. Fit no other."}};
    }
    return {};
}

} // namespace slotwitness::ready
