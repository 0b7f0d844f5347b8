#include "findings.hpp"

namespace slotwitness::ready {

Findings of_family(const Work& work) {
    const std::string& is_for = work.procedure.procedure.family;
    const std::string& is = work.chassis.profile.family;
    if (is_for == is)
        return {};
    return {{Weight::holds_up, "procedure",
             "is for " + is_for + ", and the profile of " + work.chassis.name + " is for " + is +
                 "; its sentences were not judged",
             "Name another procedure, or another chassis."}};
}

Findings of_site(const Work& work) {
    Findings findings;
    const auto add = [&](bool fits, Finding otherwise, std::string says) {
        if (fits)
            findings.push_back({Weight::as_needed, otherwise.about, std::move(says), {}});
        else
            findings.push_back(std::move(otherwise));
    };
    const Site& site = work.site;
    add(!site.journal_trouble,
        {Weight::holds_up, "journal", site.journal_trouble.value_or(""),
         "Make room for it, and let this user write it: what cannot be recorded never passes."},
        "there is room for it, and this user may write it");
    add(site.clock_synchronised,
        {Weight::advice, "clock", "this machine cannot tell that its wall clock is synchronised",
         "Synchronise it: the evidence's times are compared with the router's, and after a "
         "reboot deadlines cannot be kept."},
        "this machine's wall clock is synchronised");
    switch (site.listed) {
    case Site::Listed::same:
        break;
    case Site::Listed::other_text:
        findings.push_back({Weight::holds_up, "procedure",
                            "the configuration lists another text under this name: the daemon "
                            "would not work by the file that was checked",
                            "Check the file that the configuration lists, or list this one."});
        break;
    case Site::Listed::no:
        findings.push_back({Weight::advice, "procedure",
                            "the configuration does not list it, so its daemon cannot open it",
                            "List it under procedures in [daemon], and start the daemon again."});
        break;
    }
    return findings;
}

} // namespace slotwitness::ready
