// Questions of the course, checked in the page. Without this script the answer
// and its reasoning can be unfolded.
(function () {
  "use strict";

  function all(root, selector) { return Array.prototype.slice.call(root.querySelectorAll(selector)); }

  function prepare(section) {
    var question = JSON.parse(section.getAttribute("data-question"));
    var form = section.querySelector("form"), verdict = section.querySelector(".verdict");
    var details = section.querySelector("details"), show = section.querySelector(".show");
    var field = section.querySelector(".field input");
    var right = details.querySelector(".right"), why = details.querySelector(".why");
    var notes = all(details, ".but");

    all(form, "[hidden]").forEach(function (e) { if (e !== show) e.hidden = false; });

    // What was folded becomes part of the verdict, which says aloud what it is
    // given to show.
    var words = document.createElement("p");
    words.className = "words";
    verdict.appendChild(words);
    notes.forEach(function (e) {
      e.removeChild(e.querySelector(".chosen"));
      verdict.appendChild(e);
    });
    verdict.appendChild(right);
    if (why) verdict.appendChild(why);
    details.parentNode.removeChild(details);
    hide();

    function hide() {
      notes.forEach(function (e) { e.hidden = true; });
      right.hidden = true;
      if (why) why.hidden = true;
      words.textContent = "";
      section.removeAttribute("data-verdict");
      if (field) field.removeAttribute("aria-invalid");
    }

    function given() {
      if (question.kind === "number") return field.value;
      if (question.kind === "choice") {
        var chosen = form.querySelector("input:checked");
        return chosen ? Number(chosen.value) : -1;
      }
      // Items stand mixed; each says where it stands in the file.
      var places = [];
      all(form, "select").forEach(function (s) {
        places[Number(s.getAttribute("data-option"))] = s.value === "" ? "" : Number(s.value);
      });
      return places;
    }

    // happened notes that an answer was right or wrong, or was shown, and gives
    // how the reader stands to the question since.
    function happened(what) {
      var had = section.getAttribute("data-stands") || "", stands = answers.after(had, what);
      section.setAttribute("data-stands", stands);
      section.dispatchEvent(new CustomEvent("answered", { bubbles: true, detail: { what: what, had: had } }));
      return stands;
    }

    form.addEventListener("submit", function (e) {
      e.preventDefault();
      var answer = given(), found = answers.check(question, answer), stands = happened(found);
      hide();
      section.setAttribute("data-verdict", found);
      words.textContent = question.words[found === "right" ? stands : found];
      if (found === "right") {
        right.hidden = false;
        show.hidden = true;
        if (why) why.hidden = false;
      } else if (found === "wrong") {
        show.hidden = false;
        var note = notes.filter(function (n) { return Number(n.getAttribute("data-option")) === answer; })[0];
        if (note) note.hidden = false;
      } else if (field) {
        field.setAttribute("aria-invalid", "true");
        field.focus();
      }
    });

    // The reasoning comes with the answer, since it tells it.
    show.addEventListener("click", function () {
      happened("shown");
      hide();
      right.hidden = false;
      if (why) why.hidden = false;
      show.hidden = true;
      form.querySelector("button[type=submit]").focus();
    });
  }

  all(document, "[data-question]").forEach(prepare);
})();
