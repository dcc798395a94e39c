/** What the stand file does in a browser: one step at a time, and which are done. It holds nothing of the job. */

/** As it stands in the file; without it all steps stand below each other. */
export const STAND_SCRIPT = `
(function () {
	'use strict'
	var root = document.documentElement
	var key = 'stand-' + root.getAttribute('data-job')
	var steps = Array.prototype.slice.call(document.querySelectorAll('.step'))
	if (steps.length === 0) return
	var done = {}
	try { done = JSON.parse(localStorage.getItem(key) || '{}') || {} } catch (none) { done = {} }
	function keep() { try { localStorage.setItem(key, JSON.stringify(done)) } catch (none) { /* not remembered then */ } }
	var bar = document.getElementById('bar')
	var where = document.getElementById('where')
	var jump = document.getElementById('jump')
	var back = document.getElementById('back')
	var next = document.getElementById('next')
	var now = 0
	function boxOf(step) { return step.querySelector('input[type=checkbox]') }
	function firstOpen() {
		for (var i = 0; i < steps.length; i++) if (!done[steps[i].getAttribute('data-step')]) return i
		return 0
	}
	function show(to) {
		now = Math.max(0, Math.min(steps.length - 1, to))
		var step = steps[now]
		var card = step.parentNode.parentNode
		var cards = document.querySelectorAll('.card')
		for (var c = 0; c < cards.length; c++) cards[c].hidden = cards[c] !== card
		for (var i = 0; i < steps.length; i++) steps[i].hidden = i !== now
		var lit = document.querySelectorAll('.now')
		for (var l = 0; l < lit.length; l++) lit[l].classList.remove('now')
		var svg = card.querySelector('svg')
		var shown = step.getAttribute('data-shows')
		var tape = shown ? document.getElementById(shown) : null
		if (svg) svg.classList.toggle('pick', Boolean(tape))
		if (tape) tape.classList.add('now')
		back.disabled = now === 0
		next.disabled = now === steps.length - 1
		jump.value = card.id
		where.textContent = 'Step ' + (now + 1) + ' of ' + steps.length
		window.scrollTo(0, 0)
	}
	steps.forEach(function (step) {
		var box = boxOf(step)
		var name = step.getAttribute('data-step')
		box.checked = Boolean(done[name])
		// a thumb's tick leaves the space bar to go on to the next step
		box.addEventListener('click', function (event) { if (event.detail > 0) box.blur() })
		box.addEventListener('change', function () {
			if (box.checked) done[name] = true
			else delete done[name]
			keep()
		})
	})
	jump.addEventListener('change', function () {
		var card = document.getElementById(jump.value)
		show(steps.indexOf(card.querySelector('.step')))
	})
	back.addEventListener('click', function () { show(now - 1) })
	next.addEventListener('click', function () { show(now + 1) })
	document.addEventListener('keydown', function (event) {
		if (event.ctrlKey || event.altKey || event.metaKey) return
		var on = event.target && event.target.tagName
		if (on === 'SELECT') return
		var space = event.key === ' ' || event.key === 'Spacebar'
		if (space && (on === 'BUTTON' || on === 'INPUT')) return
		if (space ? !event.shiftKey : event.key === 'ArrowRight' || event.key === 'ArrowDown' || event.key === 'PageDown') show(now + 1)
		else if (space || event.key === 'ArrowLeft' || event.key === 'ArrowUp' || event.key === 'PageUp') show(now - 1)
		else return
		event.preventDefault()
	})
	root.classList.add('stepping')
	bar.hidden = false
	show(firstOpen())
})()
`
